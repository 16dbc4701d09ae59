//! What a text that Lua cannot read gives away beside Lua's own words: slips that Lua tells far from where they are, or
//! by another name.

/// What to do about a message of Lua at a line of this text, where the text shows more than the message.
pub fn hint(message: &str, line: u32, text: &str) -> Option<String> {
    let lines: Vec<&str> = text.lines().collect();
    let at = lines.get((line as usize).checked_sub(1)?)?;
    if message.ends_with("'//'") {
        return Some("a remark begins with two hyphens: -- like this".to_owned());
    }
    if let Some(tag) = tag_as_key(at).filter(|_| message.contains("got '='")) {
        return Some(format!("a tag in front of = stands in square brackets and quotes: [\"{tag}\"] = …"));
    }
    if !message.contains("got ')'") && !message.contains("got <eof>") && !message.contains("to close") {
        return None;
    }
    let before = &lines[..line as usize];
    if let Some(i) = before.iter().rposition(|l| words(l).windows(2).any(|w| w == ["else", "if"])) {
        return Some(format!(
            "line {} says else if, which begins an if inside the else; write elseif, in one word",
            i + 1
        ));
    }
    let (word, i) = without_end(before)?;
    Some(format!("the {word} of line {} has no end of its own", i + 1))
}

/// `K-3222 = ` in a table, which Lua reads as a subtraction.
fn tag_as_key(line: &str) -> Option<String> {
    let (before, _) = line.split_once('=')?;
    let starts = before.rfind(['{', ',', ';']).map_or(0, |i| i + 1);
    let rest = before.get(starts..)?.trim();
    // The first = of the line may be another field's.
    let tag = |t: &str| {
        let (letters, digits) = t.split_once('-')?;
        let is = !letters.is_empty()
            && letters.chars().all(|c| c.is_ascii_uppercase())
            && !digits.is_empty()
            && digits.chars().all(|c| c.is_ascii_digit());
        is.then(|| t.to_owned())
    };
    tag(rest).or_else(|| tag_as_key(line.split_once('=')?.1))
}

/// The words of a line of code, without texts and remarks.
fn words(line: &str) -> Vec<&str> {
    let code = line.split("--").next().unwrap_or_default();
    let mut words = vec![];
    for (i, part) in code.split('"').enumerate() {
        if i % 2 == 0 {
            words.extend(part.split(|c: char| !c.is_alphanumeric() && c != '_').filter(|w| !w.is_empty()));
        }
    }
    words
}

/// The word that begins a block whose end closes another one, by how far the lines are set in, and its line from 0.
fn without_end(lines: &[&str]) -> Option<(&'static str, usize)> {
    let indent = |line: &str| line.len() - line.trim_start().len();
    let mut open: Vec<(&'static str, usize)> = vec![];
    for (i, line) in lines.iter().enumerate() {
        for word in words(line) {
            match word {
                "if" => open.push(("if", i)),
                // The do of a for or a while is theirs.
                "for" => open.push(("for", i)),
                "while" => open.push(("while", i)),
                "function" => open.push(("function", i)),
                "end" => {
                    let (of, begun) = open.pop()?;
                    if begun != i && indent(lines[begun]) > indent(line) {
                        return Some((of, begun));
                    }
                }
                _ => {}
            }
        }
    }
    open.into_iter().rev().find(|(_, i)| indent(lines[*i]) > 0)
}

#[cfg(test)]
mod tests {
    use super::hint;

    #[test]
    fn a_block_without_its_end_is_found_by_how_far_it_is_set_in() {
        let text = "story(function(run)\n  if run:holds(a) then\n    run:wait(\"1 min\")\n  run:tell(\"x\")\nend)\n";
        let told = hint("Expected identifier when parsing expression, got ')'", 5, text);
        assert_eq!(told.as_deref(), Some("the if of line 2 has no end of its own"));
    }

    #[test]
    fn an_else_and_an_if_in_two_words_are_told() {
        let text = "story(function(run)\n  if a then\n    b()\n  else if c then\n    d()\n  end\nend)\n";
        let told = hint("Expected identifier when parsing expression, got ')'", 7, text).unwrap();
        assert!(told.starts_with("line 4 says else if"), "{told}");
        let in_a_text = text.replace("else if c then", "run:tell(\"or else if\")");
        assert!(!hint("got ')'", 7, &in_a_text).unwrap_or_default().contains("elseif"));
    }

    #[test]
    fn tags_as_keys_and_other_remarks_are_told() {
        let told = |line: &str| hint("Expected '}' (to close '{' at column 24), got '='", 1, line).unwrap_or_default();
        assert!(told("  pass = 3, changes = { K-3222 = \"start\" },").contains("[\"K-3222\"] = …"));
        assert!(!told("  pass = 3, changes = { pass = = \"start\" },").contains("square"));
        let remark = hint("Expected identifier when parsing expression, got '//'", 1, "// what goes wrong");
        assert!(remark.unwrap().contains("two hyphens"));
    }
}
