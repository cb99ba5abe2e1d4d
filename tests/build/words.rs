//! Every sentence about a hose is written once, in the core, and faces decide nothing
//! by a reason's, a finding's or a verdict's text.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use hosewright_core::answer::REASONS;
use hosewright_core::inspection::{FINDINGS, Verdict};
use hosewright_tests::peers::root;
use proc_macro2::{TokenStream, TokenTree};
use syn::visit::{self, Visit};

/// A text in a source, and whether something is compared with it.
#[derive(Debug, PartialEq, Eq)]
struct Text {
    value: String,
    compared: bool,
}

/// The texts of a Rust file, but for those of tests, of attributes (a command's help
/// is the command line's own) and of documentation.
#[derive(Default)]
struct Texts(Vec<Text>);

impl Texts {
    fn of_rust(source: &str) -> Vec<Text> {
        let mut texts = Self::default();
        texts.visit_file(&syn::parse_file(source).expect("Rust"));
        texts.0
    }

    fn keep(&mut self, value: String, compared: bool) {
        self.0.push(Text { value, compared });
    }

    fn tokens(&mut self, tokens: TokenStream) {
        let all: Vec<TokenTree> = tokens.into_iter().collect();
        let is = |at: Option<usize>, mark: char| {
            let token = at.and_then(|at| all.get(at));
            matches!(token, Some(TokenTree::Punct(punct)) if punct.as_char() == mark)
        };
        let doc = |at: Option<usize>| {
            let token = at.and_then(|at| all.get(at));
            matches!(token, Some(TokenTree::Ident(ident)) if ident == "doc")
        };
        for (at, token) in all.iter().enumerate() {
            match token {
                TokenTree::Group(group) => self.tokens(group.stream()),
                TokenTree::Literal(literal) => {
                    if let Ok(text) = syn::parse_str::<syn::LitStr>(&literal.to_string()) {
                        // Documentation in a macro is an attribute there.
                        if is(at.checked_sub(1), '=') && doc(at.checked_sub(2)) {
                            continue;
                        }
                        let equals = is(at.checked_sub(1), '=') && is(at.checked_sub(2), '=');
                        let arm = is(Some(at + 1), '=') && is(Some(at + 2), '>');
                        self.keep(text.value(), equals || arm);
                    }
                }
                _ => {}
            }
        }
    }
}

impl<'ast> Visit<'ast> for Texts {
    fn visit_attribute(&mut self, _: &'ast syn::Attribute) {}

    fn visit_item_mod(&mut self, module: &'ast syn::ItemMod) {
        let tests = |attribute: &syn::Attribute| {
            attribute.path().is_ident("cfg")
                && attribute.parse_args::<syn::Path>().is_ok_and(|path| path.is_ident("test"))
        };
        if !module.attrs.iter().any(tests) {
            visit::visit_item_mod(self, module);
        }
    }

    fn visit_macro(&mut self, call: &'ast syn::Macro) {
        self.tokens(call.tokens.clone());
    }

    fn visit_lit_str(&mut self, text: &'ast syn::LitStr) {
        self.keep(text.value(), false);
    }

    fn visit_expr_binary(&mut self, binary: &'ast syn::ExprBinary) {
        let before = self.0.len();
        visit::visit_expr_binary(self, binary);
        if matches!(binary.op, syn::BinOp::Eq(_) | syn::BinOp::Ne(_)) {
            self.0.iter_mut().skip(before).for_each(|text| text.compared = true);
        }
    }

    fn visit_pat(&mut self, pattern: &'ast syn::Pat) {
        let before = self.0.len();
        visit::visit_pat(self, pattern);
        self.0.iter_mut().skip(before).for_each(|text| text.compared = true);
    }
}

/// The texts of a Kotlin or Swift file: what is between quotation marks on a line.
fn of_other(source: &str) -> Vec<Text> {
    let code = source.lines().filter(|line| !line.trim_start().starts_with(['/', '*']));
    let mut texts = Vec::new();
    for line in code {
        let parts: Vec<&str> = line.split('"').collect();
        for (at, part) in parts.iter().enumerate().skip(1).step_by(2) {
            let compared = parts.get(at - 1).is_some_and(|before| before.ends_with("== "));
            texts.push(Text { value: (*part).to_owned(), compared });
        }
    }
    texts
}

/// The texts of Android's resources.
fn of_resources(source: &str) -> Vec<Text> {
    let between = source.split('>').skip(1).filter_map(|part| part.split('<').next());
    between.map(|text| Text { value: text.to_owned(), compared: false }).collect()
}

fn texts(path: &Path) -> Vec<Text> {
    let source = fs::read(path).expect("a source");
    let source = String::from_utf8_lossy(&source);
    match path.extension().and_then(|extension| extension.to_str()) {
        Some("rs") => Texts::of_rust(&source),
        Some("kt" | "swift") => of_other(&source),
        Some("xml") => of_resources(&source),
        _ => Vec::new(),
    }
}

/// Every file of the faces that people wrote; the demonstration's invented centre is data.
fn faces() -> Vec<PathBuf> {
    let generated = ["generated", "HosewrightCore", "demo", "test", "tests", "build", "examples"];
    let mut open: Vec<PathBuf> =
        ["bindings", "android", "ios"].map(|face| root().join(face)).into();
    let mut files = Vec::new();
    while let Some(path) = open.pop() {
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        if path.is_dir() && !generated.contains(&name) {
            let inside = fs::read_dir(&path).expect("a folder").flatten().map(|entry| entry.path());
            open.extend(inside);
        } else if path.is_file() && !name.ends_with("tests.rs") {
            files.push(path);
        }
    }
    files
}

/// Whether a text says something about a hose, as a whole sentence.
fn is_sentence(text: &str) -> bool {
    let about = ["hose", "hoses", "sleeve", "braid", "O-ring", "O-rings", "recall", "recalled"];
    let word =
        |word: &str| word.trim_matches(|c: char| !c.is_alphanumeric() && c != '-').to_owned();
    // What a template fills in is no word of it.
    let own = text.split_whitespace().filter(|word| !word.starts_with(['$', '{']));
    let words: Vec<String> = own.map(word).collect();
    let ends = text.trim_end().ends_with(['.', '?', '!']) || text.contains(". ");
    // An example of a command is no sentence, and a path or a query is none either.
    let prose = words.len() >= 4 && !text.contains("Example:") && !text.contains("--");
    ends && prose && words.iter().any(|word| about.contains(&word.as_str()))
}

/// Reasons by their codes, findings by their words, and verdicts by theirs.
fn codes() -> BTreeSet<String> {
    let reasons = REASONS.iter().map(|rule| rule.code.to_owned());
    let findings = FINDINGS.iter().map(|rule| rule.finding.word().to_owned());
    let verdicts = Verdict::ALL.iter().map(ToString::to_string);
    reasons.chain(findings).chain(verdicts).collect()
}

fn wrong(texts: &[Text], codes: &BTreeSet<String>) -> Vec<String> {
    let mut found = Vec::new();
    for text in texts {
        let known = codes.contains(&text.value);
        if known && (text.compared || text.value.contains('-')) {
            found.push(format!("decides by “{}”", text.value));
        }
        if is_sentence(&text.value) {
            found.push(format!("says “{}”", text.value));
        }
    }
    found
}

#[test]
fn faces_have_no_sentence_about_a_hose_and_decide_nothing_by_its_text() {
    let (codes, files) = (codes(), faces());
    assert!(codes.len() > 50 && files.len() > 150, "{} {}", codes.len(), files.len());
    let mut found = Vec::new();
    for path in files {
        let name = path.strip_prefix(root()).unwrap_or(&path).display().to_string();
        found.extend(wrong(&texts(&path), &codes).into_iter().map(|what| format!("{name} {what}")));
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// What this test finds, and what it leaves alone.
#[test]
fn sentences_and_decisions_are_found_where_they_are() {
    let codes = codes();
    let rust = |source: &str| wrong(&Texts::of_rust(source), &codes).len();
    for (source, expected) in [
        (r#"const A: &str = "Never dive this hose again.";"#, 1),
        (r#"fn f() { html! { p { "Never dive this hose again." } } }"#, 1),
        (r#"fn f(r: &R) -> bool { r.code == "held" }"#, 1),
        (r#"fn f() { html! { @if r.code == "held" { p {} } } }"#, 1),
        (r#"fn f(r: &R) -> u8 { match r.code { "retired" => 1, _ => 0 } }"#, 1),
        (r#"const A: &str = "place-contested";"#, 1),
        ("/// Never dive this hose again.\nconst A: u8 = 1;", 0),
        (r#"#[command(after_help = "A hose is a hose. So it is.")] struct A;"#, 0),
        (r#"#[cfg(test)] mod tests { const A: &str = "Never dive this hose again."; }"#, 0),
        (r#"const A: &str = "Scan a hose, or type its code";"#, 0),
        (r#"fn f() -> String { route("hold") }"#, 0),
    ] {
        assert_eq!(rust(source), expected, "{source}");
    }
    let kotlin = r#"text("Never dive this hose again.")"#;
    assert_eq!(wrong(&of_other(kotlin), &codes).len(), 1);
    assert_eq!(wrong(&of_other(r#"if (reason.code == "held") stop()"#), &codes).len(), 1);
    let xml = r#"<string name="a">Never dive this hose again.</string>"#;
    assert_eq!(wrong(&of_resources(xml), &codes).len(), 1);
}
