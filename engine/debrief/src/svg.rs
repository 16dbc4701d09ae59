//! A small SVG writer. What it has written is [`Markup`], the only thing that a page takes in
//! without escaping: every text and every attribute has been escaped here.

use crate::signs;
use minijinja::Value;
use serde::{Serialize, Serializer};
use std::fmt::{Display, Write};

/// Finished, trusted markup. Only [`Svg::finish`] makes it.
#[derive(Clone, Debug, Default)]
pub struct Markup(String);

impl Serialize for Markup {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        Value::from_safe_string(self.0.clone()).serialize(to)
    }
}

/// An SVG drawing being written.
#[derive(Debug)]
pub struct Svg {
    out: String,
    open: Vec<&'static str>,
}

/// Attributes of an element.
pub type Attributes<'a> = &'a [(&'static str, &'a dyn Display)];

impl Svg {
    /// A picture with a title and a description for those who cannot see it. It is as wide as the
    /// page lets it be and `height` pixels high; `id` is unique in the page.
    pub fn picture(id: &str, class: &str, height: u32, title: &str, desc: &str) -> Svg {
        let mut svg = Svg { out: String::new(), open: Vec::new() };
        svg.open(
            "svg",
            &[
                ("xmlns", &"http://www.w3.org/2000/svg"),
                ("class", &class),
                ("width", &"100%"),
                ("height", &height),
                ("role", &"img"),
                ("aria-labelledby", &format!("{id}-title {id}-desc")),
            ],
        );
        svg.text("title", &[("id", &format!("{id}-title"))], title);
        svg.text("desc", &[("id", &format!("{id}-desc"))], desc);
        svg
    }

    /// A small sign without words of its own; the words stand beside it.
    pub fn sign(class: &str, width: u32, height: u32) -> Svg {
        let mut svg = Svg { out: String::new(), open: Vec::new() };
        svg.open(
            "svg",
            &[
                ("xmlns", &"http://www.w3.org/2000/svg"),
                ("class", &class),
                ("width", &width),
                ("height", &height),
                ("aria-hidden", &"true"),
            ],
        );
        svg
    }

    /// Opens an element.
    pub fn open(&mut self, name: &'static str, attributes: Attributes) {
        self.begin(name, attributes);
        self.out.push('>');
        self.open.push(name);
    }

    /// Closes the element that was opened last.
    pub fn close(&mut self) {
        let name = self.open.pop().expect("each close has its open");
        self.out.push_str("</");
        self.out.push_str(name);
        self.out.push('>');
    }

    /// An element without content.
    pub fn leaf(&mut self, name: &'static str, attributes: Attributes) {
        self.begin(name, attributes);
        self.out.push_str("/>");
    }

    /// An element with text in it.
    pub fn text(&mut self, name: &'static str, attributes: Attributes, text: &str) {
        self.open(name, attributes);
        escape(&mut self.out, text);
        self.close();
    }

    /// Closes what is open.
    pub fn finish(mut self) -> Markup {
        while !self.open.is_empty() {
            self.close();
        }
        Markup(self.out)
    }

    fn begin(&mut self, name: &'static str, attributes: Attributes) {
        self.out.push('<');
        self.out.push_str(name);
        for (key, value) in attributes {
            let mut text = String::new();
            write!(text, "{value}").expect("a string takes any text");
            self.out.push(' ');
            self.out.push_str(key);
            self.out.push_str("=\"");
            escape(&mut self.out, &text);
            self.out.push('"');
        }
    }
}

/// A place across the picture as a percentage, so that a picture fits any width.
pub fn across(part: f64) -> String {
    let text = format!("{:.2}", part * 100.0);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{text}%")
}

fn escape(out: &mut String, text: &str) {
    for c in signs::sentence(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // Not allowed in XML at all; a replacement shows that something stood there.
            c if (c as u32) < 0x20 && !matches!(c, '\t' | '\n' | '\r') => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_and_attributes_are_escaped() {
        let mut svg = Svg::picture("c1", "\"><script>", 10, "</title><script>", "a & b");
        svg.text("text", &[("x", &across(0.125))], "<b>\u{0}");
        let text = svg.finish().0;
        assert!(!text.contains("<script"), "{text}");
        assert!(text.contains("x=\"12.5%\">&lt;b&gt;\u{fffd}</text></svg>"), "{text}");
        assert!(text.contains("a &amp; b"));
    }

    #[test]
    fn places_are_short_and_fixed() {
        assert_eq!(across(0.0), "0%");
        assert_eq!(across(1.0), "100%");
        assert_eq!(across(1.0 / 3.0), "33.33%");
    }
}
