//! The pages' templates. Everything that goes into them is escaped, but for [`crate::svg::Markup`].

use crate::signs;
use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{Environment, Value, escape_formatter};
use serde::Serialize;
use std::borrow::Cow;

/// What every page says of itself before anything else may be believed of it.
#[derive(Debug, Serialize)]
pub struct Caution {
    lead: &'static str,
    text: &'static str,
}

/// The caution.
pub const CAUTION: Caution = Caution {
    lead: "This is a training aid, not a procedure.",
    text: "It was made with a simplified model of a ship that does not exist. \
           On a real plant the makers\u{2019} manuals, class and flag rules, the ship\u{2019}s safety-management system \
           and the engineer in charge come first.",
};

/// A page from its template.
pub fn render<S: Serialize>(name: &str, view: &S) -> String {
    let mut pages = Environment::new();
    pages.set_syntax(
        SyntaxConfig::builder()
            .trim_blocks(true)
            .lstrip_blocks(true)
            .keep_trailing_newline(true)
            .build()
            .expect("the usual brackets are a syntax"),
    );
    // Units as they are printed, whoever wrote the sentence that they stand in.
    pages.set_formatter(|out, state, value| match value.as_str().filter(|_| !value.is_safe()).map(signs::sentence) {
        Some(Cow::Owned(printed)) => escape_formatter(out, state, &Value::from(printed)),
        _ => escape_formatter(out, state, value),
    });
    let parts = [
        ("style.css", include_str!("templates/style.css")),
        ("person.html", include_str!("templates/person.html")),
        ("groups.html", include_str!("templates/groups.html")),
        ("competences.html", include_str!("templates/competences.html")),
        ("worth.html", include_str!("templates/worth.html")),
        ("class.html", include_str!("templates/class.html")),
        ("comparison.html", include_str!("templates/comparison.html")),
    ];
    for (part, text) in parts {
        pages.add_template(part, text).expect("our own templates are well-formed");
    }
    pages.get_template(name).and_then(|t| t.render(Serde(view))).expect("our own templates fit their views")
}
