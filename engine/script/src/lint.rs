//! What the text of a script gives away before it runs: Lua's silent traps. `and`, `or` and `not`
//! never ask a condition, a repeated key loses the first value without a word, and `^` is the
//! platform's own maths.

mod used;

use crate::words::{On, WORDS};
use base::{Diagnostic, Place};
use full_moon::ast::{
    BinOp, Expression, Field, FunctionCall, GenericFor, If, LocalAssignment, Prefix, Repeat, Suffix, TableConstructor,
    UnOp, While,
};
use full_moon::node::Node;
use full_moon::tokenizer::{TokenReference, TokenType};
use full_moon::visitors::Visitor;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, OnceLock};

/// Room for reading a text that is nested as deeply as Luau's own reader allows.
const STACK: usize = 64 << 20;

/// What the texts of a script give away.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// Mistakes and warnings.
    pub told: Vec<Diagnostic>,
    /// Faults that stories begin, clear or grow by their names.
    pub mentioned: Vec<(String, Place)>,
    /// Those that they begin.
    pub injected: BTreeSet<String>,
    /// A story begins a fault whose name it works out.
    pub injects_any: bool,
    /// Steps that `done` names.
    pub steps_asked: BTreeSet<String>,
    /// `done` is asked of a step whose name is worked out.
    pub asks_any_step: bool,
    /// The parameters that the script reads, by their names.
    pub parameters: BTreeSet<String>,
    /// The script reads parameters whose names it works out.
    pub reads_any: bool,
}

/// What was found in the texts that were looked at first: a pack's are read once more for every run, and stay the same.
#[derive(Clone, Debug, Default)]
pub(crate) struct Looked(Arc<OnceLock<(Texts, Found)>>);

/// Files with their texts.
type Texts = Vec<(String, String)>;

impl Looked {
    /// [`check`], without work for texts that have been looked at.
    pub fn check(&self, files: Texts) -> Found {
        let (texts, found) = self.0.get_or_init(|| {
            let found = check(&files);
            (files.clone(), found)
        });
        if *texts == files { found.clone() } else { check(&files) }
    }
}

/// It is no part of what sources are.
impl PartialEq for Looked {
    fn eq(&self, _: &Looked) -> bool {
        true
    }
}

impl Eq for Looked {}

/// Tells what the texts of files give away. Luau must have accepted them before, since that bounds
/// how deeply they are nested.
#[must_use]
pub fn check(files: &[(String, String)]) -> Found {
    stacker::grow(STACK, || {
        let mut found = Found::default();
        let mut read = Vec::new();
        let mut own = used::Own::default();
        for (file, text) in files {
            match full_moon::parse(text) {
                Ok(ast) => {
                    own.add(&ast);
                    read.push((file, ast));
                }
                Err(errors) => found.told.extend(not_plain(file, &errors)),
            }
        }
        for (file, ast) in &read {
            let mut names = Names::default();
            names.visit_ast(ast);
            let mut reader = Reader { file, names: names.0, told: Vec::new() };
            reader.visit_ast(ast);
            found.told.append(&mut reader.told);
            used::check(file, ast, &own, &mut found);
        }
        found
    })
}

/// Tells what is not plain Lua.
fn not_plain(file: &str, errors: &[full_moon::Error]) -> Vec<Diagnostic> {
    let mut told: Vec<Diagnostic> = Vec::new();
    for e in errors.iter().take(100) {
        let at = e.range().0;
        let place = Place { file: file.to_owned(), line: at.line() as u32, column: at.character() as u32 };
        // What follows on the same line follows from the first.
        if told.iter().any(|d| d.place.line == place.line) {
            continue;
        }
        let message = format!("this is not plain Lua: {}", e.error_message());
        let d = Diagnostic::error("script::dialect", place, message);
        told.push(d.hint("write it as in Lua 5.1: x = x + 1, no types, no continue, no //"));
    }
    told
}

/// Which names are given a condition or a value wherever they are given anything.
#[derive(Default)]
struct Names(BTreeMap<String, bool>);

impl Visitor for Names {
    fn visit_local_assignment(&mut self, node: &LocalAssignment) {
        let mut given = node.expressions().iter();
        for name in node.names() {
            let holds = given.next().is_some_and(|e| is_handle(e, &BTreeMap::new()));
            let so_far = self.0.entry(word(name)).or_insert(holds);
            *so_far = *so_far && holds;
        }
    }
}

struct Reader<'a> {
    file: &'a str,
    names: BTreeMap<String, bool>,
    told: Vec<Diagnostic>,
}

impl Reader<'_> {
    fn tell(&mut self, at: &impl Node, code: &'static str, message: impl Into<String>, hint: &str) {
        let (line, column) = at.start_position().map_or((0, 0), |p| (p.line() as u32, p.character() as u32));
        let place = Place { file: self.file.to_owned(), line, column };
        self.told.push(Diagnostic::error(code, place, message).hint(hint));
    }

    fn is_handle(&self, e: &Expression) -> bool {
        is_handle(e, &self.names)
    }

    /// `if` and its like take a condition for true whatever it says, also one that stands behind an `and` or an `or`.
    fn asked(&mut self, e: &Expression) {
        match e {
            Expression::Parentheses { expression, .. } => return self.asked(expression),
            // A condition in front of the word is told with the word itself.
            Expression::BinaryOperator { lhs, binop: BinOp::And(_) | BinOp::Or(_), rhs } => {
                if !self.is_handle(lhs) {
                    self.asked(lhs);
                    self.asked(rhs);
                }
                return;
            }
            _ => {}
        }
        if self.is_handle(e) {
            self.tell(
                e,
                "script::always-true",
                "Lua takes a condition for true whatever it says",
                "in a story write if run:holds(…) then; in an item write the condition itself",
            );
        }
    }
}

impl Visitor for Reader<'_> {
    fn visit_expression(&mut self, e: &Expression) {
        match e {
            Expression::BinaryOperator { lhs, binop, rhs } => match binop {
                BinOp::And(sign) if self.is_handle(lhs) => {
                    self.tell(
                        sign,
                        "script::and-or",
                        "Lua's and does not join conditions: it gives the second one",
                        "write all(…, …)",
                    );
                }
                BinOp::Or(sign) if self.is_handle(lhs) => {
                    self.tell(
                        sign,
                        "script::and-or",
                        "Lua's or does not join conditions: it gives the first one",
                        "write any(…, …)",
                    );
                }
                BinOp::TwoEqual(sign) | BinOp::TildeEqual(sign) if self.is_handle(lhs) != self.is_handle(rhs) => {
                    let message = "Lua's == and ~= do not compare conditions and values: the answer is always the same";
                    self.tell(
                        sign,
                        "script::operator",
                        message,
                        "write :is(\"open\"), :within(…), set_to(…), or compare what run:value(…) gives",
                    );
                }
                BinOp::LessThan(sign)
                | BinOp::LessThanEqual(sign)
                | BinOp::GreaterThan(sign)
                | BinOp::GreaterThanEqual(sign)
                    if self.is_handle(lhs) || self.is_handle(rhs) =>
                {
                    let message = format!("Lua's {} does not work on conditions and values", word(sign));
                    self.tell(
                        sign,
                        "script::operator",
                        message,
                        "write :below(…), :above(…), :at_most(…) or :at_least(…)",
                    );
                }
                BinOp::Caret(sign) => {
                    let message = "Lua's ^ is not the same on every machine";
                    self.tell(sign, "script::power", message, "write math.pow(x, y), or x * x for a square");
                }
                _ => {}
            },
            Expression::UnaryOperator { unop: UnOp::Not(sign), expression } if self.is_handle(expression) => {
                self.tell(
                    sign,
                    "script::and-or",
                    "Lua's not does not turn a condition round: it is always false",
                    "write not_(…)",
                );
            }
            _ => {}
        }
    }

    fn visit_if(&mut self, node: &If) {
        self.asked(node.condition());
        for other in node.else_if().into_iter().flatten() {
            self.asked(other.condition());
        }
    }

    fn visit_while(&mut self, node: &While) {
        self.asked(node.condition());
    }

    fn visit_repeat(&mut self, node: &Repeat) {
        self.asked(node.until());
    }

    fn visit_generic_for(&mut self, node: &GenericFor) {
        let mut given = node.expressions().iter();
        if let (Some(one), None) = (given.next(), given.next())
            && !matches!(one, Expression::FunctionCall(_))
        {
            let message = "this loop has no order of its own";
            self.tell(one, "script::loop", message, "write ipairs(…) for a list, pairs(…) for a table");
        }
    }

    fn visit_table_constructor(&mut self, node: &TableConstructor) {
        let mut seen = BTreeSet::new();
        for field in node.fields() {
            let (at, key) = match field {
                Field::NameKey { key, .. } => (key, word(key)),
                Field::ExpressionKey { key, .. } => match key.as_ref() {
                    Expression::String(s) => (s, text_of(s)),
                    _ => continue,
                },
                _ => continue,
            };
            if !seen.insert(key.clone()) {
                let message = format!("\"{key}\" stands twice in this table, and Lua keeps only the last");
                self.tell(at, "script::repeated-key", message, "keep one of the two");
            }
        }
    }
}

/// Whether an expression is surely a condition or a value of the exercise: a call of one of the
/// words that give one, or a name that holds one.
fn is_handle(e: &Expression, names: &BTreeMap<String, bool>) -> bool {
    match e {
        Expression::Parentheses { expression, .. } => is_handle(expression, names),
        Expression::FunctionCall(call) => gives_handle(call),
        Expression::Var(full_moon::ast::Var::Name(name)) => names.get(&word(name)).copied().unwrap_or_default(),
        _ => false,
    }
}

fn gives_handle(call: &FunctionCall) -> bool {
    let Prefix::Name(name) = call.prefix() else { return false };
    let begins = matches!(call.suffixes().next(), Some(Suffix::Call(_)));
    begins && gives(&word(name)).is_some()
}

/// What a word of the script gives, when that is a condition or a value.
fn gives(name: &str) -> Option<&'static str> {
    let found = WORDS.iter().find(|w| w.on == On::Script && w.name == name)?;
    matches!(found.gives, "Condition" | "Value").then_some(found.gives)
}

fn word(token: &TokenReference) -> String {
    token.token().to_string()
}

fn text_of(token: &TokenReference) -> String {
    match token.token().token_type() {
        TokenType::StringLiteral { literal, .. } => literal.to_string(),
        _ => word(token),
    }
}

#[cfg(test)]
mod tests {
    use super::Looked;

    #[test]
    fn texts_are_looked_at_once_and_others_by_themselves() {
        let one = |text: &str| vec![("a.lua".to_owned(), text.to_owned())];
        let looked = Looked::default();
        let told = |looked: &Looked, text: &str| looked.check(one(text)).told.len();
        let trap = "local x = {a = 1, a = 2}\nreturn x";
        assert_eq!(told(&looked, trap), 1);
        assert!(looked.clone().0.get().is_some_and(|(texts, found)| *texts == one(trap) && found.told.len() == 1));
        assert_eq!(told(&looked.clone(), trap), 1);
        assert_eq!(told(&looked, "return 1"), 0);
        assert_eq!(told(&Looked::default(), "return 1"), 0);
    }
}
