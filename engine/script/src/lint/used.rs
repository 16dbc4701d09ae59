//! Names that a script gives and uses: misspelt ones also where no reading of the script goes, ones
//! that are given for nothing, conditions that are written and thrown away.
//!
//! It knows no scopes: a name that is given anywhere in a file counts as given in all of it. What it
//! tells is therefore sure, and what it passes over is met when the script runs.

use super::{Found, gives, word};
use crate::calls;
use crate::words::{On, WORDS};
use base::{Diagnostic, Place};
use full_moon::ast::{
    Assignment, Ast, Call, Expression, Field, FunctionArgs, FunctionBody, FunctionCall, FunctionDeclaration,
    GenericFor, Index, LocalAssignment, LocalFunction, MethodCall, NumericFor, Parameter, Prefix, Stmt, Suffix, Var,
};
use full_moon::node::Node;
use full_moon::tokenizer::{Position, TokenReference};
use full_moon::visitors::Visitor;
use std::collections::{BTreeMap, BTreeSet};

/// Names of fields and methods that the files of a script give to tables of their own.
#[derive(Default)]
pub struct Own(BTreeSet<String>);

/// What the text of one file says about names.
#[derive(Default)]
struct Names {
    own: BTreeSet<String>,
    /// Locals that the file gives, with the first place; whether it is a local of its own.
    given: BTreeMap<String, (Position, bool)>,
    /// Names that are read, with every place.
    read: BTreeMap<String, Vec<Position>>,
    /// Where a name is only written to.
    written: BTreeSet<usize>,
    /// Names of functions that are stories, and what those call the run.
    stories: BTreeSet<String>,
    runs: BTreeSet<String>,
    firsts: BTreeMap<String, String>,
    /// Parameters that are read by their names, and how often the table of them is named.
    parameters: Vec<String>,
}

impl Own {
    /// Adds what a file gives.
    pub fn add(&mut self, ast: &Ast) {
        let mut names = Names::default();
        names.visit_ast(ast);
        self.0.append(&mut names.own);
    }
}

/// Tells what the names of a file give away.
pub fn check(file: &str, ast: &Ast, own: &Own, found: &mut Found) {
    let mut names = Names::default();
    names.visit_ast(ast);
    for story in &names.stories {
        names.runs.extend(names.firsts.get(story).cloned());
    }
    // Where the table is named more often than a field of it, any of it may be read.
    let named = names.read.get("parameters").map_or(0, Vec::len);
    found.reads_any |= named > names.parameters.len();
    found.parameters.extend(names.parameters.iter().cloned());
    let told = &mut found.told;
    for (name, places) in &names.read {
        if !names.given.contains_key(name) && !is_given_by_the_program(name) {
            let given = || names.given.keys().map(String::as_str);
            let d = |p: &Position| calls::no_such_name(name, at(file, *p));
            told.extend(places.iter().map(d).map(|d| if d.hint.is_some() { d } else { d.nearest(name, given()) }));
        }
    }
    for (name, (place, local)) in &names.given {
        if *local && !names.read.contains_key(name) && !name.starts_with('_') {
            let message = format!("the name \"{name}\" is given here and never used");
            let d = Diagnostic::warning("script::unused", at(file, *place), message);
            told.push(d.hint("use it, or take it out; a name that begins with _ is left alone"));
        }
    }
    Calls { file, own, runs: &names.runs, found }.visit_ast(ast);
}

fn at(file: &str, p: Position) -> Place {
    Place { file: file.to_owned(), line: p.line() as u32, column: p.character() as u32 }
}

fn start(node: &impl Node) -> Position {
    node.start_position().unwrap_or_default()
}

/// Whether a name is one of the words or of what is left of Lua.
fn is_given_by_the_program(name: &str) -> bool {
    const LUA: &[&str] = &[
        "assert",
        "error",
        "ipairs",
        "pairs",
        "pcall",
        "xpcall",
        "print",
        "select",
        "tonumber",
        "tostring",
        "type",
        "math",
        "string",
        "table",
        "coroutine",
        "require",
        "parameters",
    ];
    LUA.contains(&name) || WORDS.iter().any(|w| w.on == On::Script && w.name == name)
}

impl Names {
    fn give(&mut self, token: &TokenReference, local: bool) {
        self.given.entry(word(token)).or_insert_with(|| (start(token), local));
    }

    fn reads(&mut self, token: &TokenReference) {
        let place = start(token);
        if !self.written.contains(&place.bytes()) {
            self.read.entry(word(token)).or_default().push(place);
        }
    }

    fn first_of(body: &FunctionBody) -> Option<String> {
        match body.parameters().iter().next() {
            Some(Parameter::Name(name)) => Some(word(name)),
            _ => None,
        }
    }
}

impl Visitor for Names {
    fn visit_local_assignment(&mut self, node: &LocalAssignment) {
        for (i, name) in node.names().iter().enumerate() {
            self.give(name, true);
            if let Some(Expression::Function(f)) = node.expressions().iter().nth(i) {
                self.firsts.extend(Names::first_of(f.body()).map(|first| (word(name), first)));
            }
        }
    }

    fn visit_local_function(&mut self, node: &LocalFunction) {
        self.give(node.name(), true);
        self.firsts.extend(Names::first_of(node.body()).map(|first| (word(node.name()), first)));
    }

    fn visit_function_declaration(&mut self, node: &FunctionDeclaration) {
        let name = node.name();
        let parts: Vec<&TokenReference> = name.names().iter().collect();
        if let [only] = parts.as_slice()
            && name.method_name().is_none()
        {
            self.give(only, false);
            self.firsts.extend(Names::first_of(node.body()).map(|first| (word(only), first)));
        } else if let Some(table) = parts.first() {
            self.reads(table);
        }
        self.own.extend(parts.iter().skip(1).map(|p| word(p)));
        self.own.extend(name.method_name().map(word));
        if name.method_name().is_some() {
            self.given.entry("self".to_owned()).or_insert_with(|| (start(node), false));
        }
    }

    fn visit_function_body(&mut self, node: &FunctionBody) {
        for p in node.parameters() {
            if let Parameter::Name(name) = p {
                self.give(name, false);
            }
        }
    }

    fn visit_numeric_for(&mut self, node: &NumericFor) {
        self.give(node.index_variable(), false);
    }

    fn visit_generic_for(&mut self, node: &GenericFor) {
        for name in node.names() {
            self.give(name, false);
        }
    }

    fn visit_assignment(&mut self, node: &Assignment) {
        for variable in node.variables() {
            match variable {
                Var::Name(name) => {
                    self.written.insert(start(name).bytes());
                    self.give(name, false);
                }
                Var::Expression(e) => {
                    if let Some(Suffix::Index(Index::Dot { name, .. })) = e.suffixes().last() {
                        self.own.insert(word(name));
                    }
                }
                _ => {}
            }
        }
    }

    fn visit_field(&mut self, node: &Field) {
        if let Field::NameKey { key, .. } = node {
            self.own.insert(word(key));
        }
    }

    fn visit_prefix(&mut self, node: &Prefix) {
        if let Prefix::Name(name) = node {
            self.reads(name);
        }
    }

    fn visit_var(&mut self, node: &Var) {
        if let Var::Name(name) = node {
            self.reads(name);
        }
    }

    fn visit_var_expression(&mut self, node: &full_moon::ast::VarExpression) {
        if let Prefix::Name(name) = node.prefix()
            && word(name) == "parameters"
            && let Some(Suffix::Index(Index::Dot { name, .. })) = node.suffixes().next()
        {
            self.parameters.push(word(name));
        }
    }

    fn visit_function_call(&mut self, node: &FunctionCall) {
        let Prefix::Name(name) = node.prefix() else { return };
        if let ("parameters", Some(Suffix::Index(Index::Dot { name, .. }))) =
            (word(name).as_str(), node.suffixes().next())
        {
            self.parameters.push(word(name));
        }
        let Some(Suffix::Call(Call::AnonymousCall(args))) = node.suffixes().next() else { return };
        let FunctionArgs::Parentheses { arguments, .. } = args.as_ref() else { return };
        if word(name) != "story" {
            return;
        }
        match arguments.iter().next() {
            Some(Expression::Function(f)) => self.runs.extend(Names::first_of(f.body())),
            Some(Expression::Var(Var::Name(story))) => {
                self.stories.insert(word(story));
            }
            _ => {}
        }
    }
}

/// Looks at the calls of methods.
struct Calls<'a> {
    file: &'a str,
    own: &'a Own,
    runs: &'a BTreeSet<String>,
    found: &'a mut Found,
}

impl Calls<'_> {
    /// Follows a chain of methods, as far as it is known what each is called on.
    fn chain(&mut self, prefix: &Prefix, suffixes: &[&Suffix]) {
        let mut on = None;
        let mut rest = suffixes;
        if let (Prefix::Name(name), Some((Suffix::Call(Call::AnonymousCall(_)), more))) =
            (prefix, suffixes.split_first())
        {
            on = match gives(&word(name)) {
                Some("Value") => Some(On::Value),
                Some("Condition") => Some(On::Condition),
                _ => None,
            };
            rest = more;
        } else if let Prefix::Name(name) = prefix
            && self.runs.contains(&word(name))
        {
            on = Some(On::Run);
        }
        for suffix in rest {
            match suffix {
                Suffix::Call(Call::MethodCall(call)) => on = self.method(on, call),
                _ => on = None,
            }
        }
    }

    /// A call of a method; gives what the call gives.
    fn method(&mut self, on: Option<On>, call: &MethodCall) -> Option<On> {
        let name = word(call.name());
        let place = at(self.file, start(call.name()));
        let Some(on) = on else {
            let known = WORDS.iter().any(|w| w.on != On::Script && w.name == name);
            const OF_TEXT: &[&str] = &[
                "byte", "find", "format", "gmatch", "gsub", "len", "lower", "match", "rep", "reverse", "sub", "upper",
            ];
            if !known && !self.own.0.contains(&name) && !OF_TEXT.contains(&name.as_str()) {
                let methods = WORDS.iter().filter(|w| w.on != On::Script).map(|w| w.name);
                let message = format!("nothing here has a method \"{name}\"");
                let d = Diagnostic::error("script::unknown-method", place, message);
                self.found.told.push(d.nearest(&name, methods));
            }
            return None;
        };
        let Some(found) = WORDS.iter().find(|w| w.on == on && w.name == name) else {
            self.found.told.push(calls::no_such_method(on, &name, place));
            return None;
        };
        if on == On::Run {
            let given = arguments(call.args());
            let needed = found.takes.iter().filter(|t| !t.kind.ends_with('?')).count();
            if let Some(given) = given.filter(|n| *n < needed) {
                let message = format!("{} needs {}, and got nothing", found.name, found.takes[given].name);
                let d = Diagnostic::error("script::argument", place.clone(), message);
                self.found.told.push(d.hint(format!("write {}", found.example)));
            }
            match (found.name, first_text(call.args())) {
                ("inject", None) => self.found.injects_any = true,
                ("inject", Some(fault)) => {
                    self.found.injected.insert(fault.clone());
                    self.found.mentioned.push((fault, place));
                }
                ("clear" | "grow", Some(fault)) => self.found.mentioned.push((fault, place)),
                _ => {}
            }
        }
        (found.gives == "Condition").then_some(On::Condition)
    }
}

/// How many arguments a call gives, when that can be seen: a call at the end may give any number.
fn arguments(args: &FunctionArgs) -> Option<usize> {
    match args {
        FunctionArgs::Parentheses { arguments, .. } => match arguments.iter().last() {
            Some(Expression::FunctionCall(_) | Expression::Symbol(_)) => None,
            _ => Some(arguments.iter().count()),
        },
        _ => Some(1),
    }
}

/// The text that is the first argument of a call.
fn first_text(args: &FunctionArgs) -> Option<String> {
    match args {
        FunctionArgs::String(s) => Some(super::text_of(s)),
        FunctionArgs::Parentheses { arguments, .. } => match arguments.iter().next() {
            Some(Expression::String(s)) => Some(super::text_of(s)),
            _ => None,
        },
        _ => None,
    }
}

impl Visitor for Calls<'_> {
    fn visit_function_call(&mut self, node: &FunctionCall) {
        if let (Prefix::Name(name), Some(Suffix::Call(Call::AnonymousCall(args)))) =
            (node.prefix(), node.suffixes().next())
            && word(name) == "done"
        {
            match first_text(args) {
                Some(step) => {
                    self.found.steps_asked.insert(step);
                }
                None => self.found.asks_any_step = true,
            }
        }
        self.chain(node.prefix(), &node.suffixes().collect::<Vec<_>>());
    }

    fn visit_var_expression(&mut self, node: &full_moon::ast::VarExpression) {
        self.chain(node.prefix(), &node.suffixes().collect::<Vec<_>>());
    }

    fn visit_stmt(&mut self, node: &Stmt) {
        if let Stmt::FunctionCall(call) = node
            && super::gives_handle(call)
        {
            let message = "this condition is written down and not used";
            let d = Diagnostic::warning("script::thrown-away", at(self.file, start(call)), message);
            self.found.told.push(d.hint("put it behind done =, keep =, by = or when =, or give it a name with local"));
        }
    }
}
