//! The paths that code writes.

use std::collections::BTreeSet;

use proc_macro2::{Delimiter, Spacing, TokenStream, TokenTree};
use syn::punctuated::Punctuated;
use syn::visit::{self, Visit};
use syn::{Attribute, Item, ItemUse, Meta, Token, UseTree, Visibility};

/// A path as it is written, and what a `use` makes of it.
#[derive(Debug)]
pub struct Named {
    pub path: Vec<String>,
    /// The name that a `use` brings in; `*` is every name.
    pub brings: Option<String>,
    /// Handed on to others and used here only if another path says so.
    pub handed_on: bool,
}

impl Named {
    fn in_code(path: Vec<String>) -> Self {
        Self { path, brings: None, handed_on: false }
    }
}

/// The paths of a `use`.
pub fn used(item: &ItemUse) -> Vec<Named> {
    let mut all = Vec::new();
    if item.leading_colon.is_none() {
        let handed_on = !matches!(item.vis, Visibility::Inherited);
        flatten(&item.tree, &mut Vec::new(), handed_on, &mut all);
    }
    all
}

fn flatten(tree: &UseTree, before: &mut Vec<String>, handed_on: bool, all: &mut Vec<Named>) {
    let mut leaf = |name: Option<&syn::Ident>, brings: String| {
        let mut path = before.clone();
        path.extend(name.filter(|name| *name != "self").map(ToString::to_string));
        all.push(Named { path, brings: Some(brings), handed_on });
    };
    match tree {
        UseTree::Path(path) => {
            before.push(path.ident.to_string());
            flatten(&path.tree, before, handed_on, all);
            before.pop();
        }
        UseTree::Group(group) => {
            for tree in &group.items {
                flatten(tree, before, handed_on, all);
            }
        }
        UseTree::Name(name) if name.ident == "self" => {
            let brings = before.last().cloned().unwrap_or_default();
            leaf(None, brings);
        }
        UseTree::Name(name) => leaf(Some(&name.ident), name.ident.to_string()),
        UseTree::Rename(name) => leaf(Some(&name.ident), name.rename.to_string()),
        UseTree::Glob(_) => leaf(None, "*".to_owned()),
    }
}

/// The paths in an item, but for those that are compiled for tests alone.
pub fn named_in(item: &Item) -> Vec<Named> {
    let mut collector = Collector::default();
    collector.visit_item(item);
    let Collector { all, variables } = collector;
    let variable = |path: &[String]| matches!(path, [one] if variables.contains(one));
    all.into_iter().filter(|named| !variable(&named.path)).collect()
}

#[derive(Default)]
struct Collector {
    all: Vec<Named>,
    /// A name alone that is bound anywhere in the item is taken for that variable.
    variables: BTreeSet<String>,
}

impl Collector {
    fn add(&mut self, path: Vec<String>) {
        self.all.push(Named::in_code(path));
    }

    /// A macro's arguments are no syntax yet: what looks like a path in them is one.
    fn tokens(&mut self, tokens: TokenStream) {
        let tokens: Vec<TokenTree> = tokens.into_iter().collect();
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            match token {
                TokenTree::Group(group) => self.tokens(group.stream()),
                TokenTree::Ident(_) => {
                    let before = at.checked_sub(1).and_then(|before| tokens.get(before));
                    let (path, after) = path_at(&tokens, at);
                    at = after;
                    if is_path(before, &path, tokens.get(after)) {
                        self.add(path);
                    }
                    continue;
                }
                _ => {}
            }
            at += 1;
        }
    }
}

/// The names joined by `::` from one on, and where they end.
fn path_at(tokens: &[TokenTree], mut at: usize) -> (Vec<String>, usize) {
    let mut path = Vec::new();
    while let Some(TokenTree::Ident(ident)) = tokens.get(at) {
        path.push(ident.to_string());
        at += 1;
        let colon =
            |at: usize| matches!(tokens.get(at), Some(TokenTree::Punct(p)) if p.as_char() == ':');
        let more = matches!(tokens.get(at + 2), Some(TokenTree::Ident(_)));
        if !(colon(at) && colon(at + 1) && more) {
            break;
        }
        at += 2;
    }
    (path, at)
}

/// Whether names among a macro's tokens are a path: no field, lifetime or variable, and
/// no name that is being given its value (`Name = …`).
fn is_path(before: Option<&TokenTree>, path: &[String], after: Option<&TokenTree>) -> bool {
    let follows = |mark: char| matches!(before, Some(TokenTree::Punct(p)) if p.as_char() == mark);
    let called = matches!(after, Some(TokenTree::Group(group)) if group.delimiter() == Delimiter::Parenthesis)
        || matches!(after, Some(TokenTree::Punct(p)) if p.as_char() == '!');
    let given = matches!(after, Some(TokenTree::Punct(p)) if p.as_char() == '=' && p.spacing() == Spacing::Alone);
    let type_like = path.iter().any(|name| name.starts_with(char::is_uppercase));
    path.len() > 1 || !follows('.') && !follows('\'') && (called || type_like && !given)
}

impl<'a> Visit<'a> for Collector {
    fn visit_path(&mut self, path: &'a syn::Path) {
        if path.leading_colon.is_none() {
            self.add(path.segments.iter().map(|segment| segment.ident.to_string()).collect());
        }
        visit::visit_path(self, path);
    }

    fn visit_pat_ident(&mut self, pattern: &'a syn::PatIdent) {
        self.variables.insert(pattern.ident.to_string());
        visit::visit_pat_ident(self, pattern);
    }

    fn visit_macro(&mut self, call: &'a syn::Macro) {
        self.visit_path(&call.path);
        self.tokens(call.tokens.clone());
    }

    fn visit_attribute(&mut self, attribute: &'a Attribute) {
        if let Meta::List(list) = &attribute.meta {
            self.tokens(list.tokens.clone());
            for text in texts(list.tokens.clone()) {
                if let Ok(path) = syn::parse_str::<syn::Path>(&text) {
                    self.visit_path(&path);
                }
            }
        }
    }

    fn visit_item_use(&mut self, item: &'a ItemUse) {
        self.all.extend(used(item).into_iter().map(|named| Named::in_code(named.path)));
    }

    /// `pub(in crate::room)` takes nothing from there.
    fn visit_vis_restricted(&mut self, _: &'a syn::VisRestricted) {}

    fn visit_item(&mut self, item: &'a Item) {
        if !test_alone(attributes(item)) {
            visit::visit_item(self, item);
        }
    }

    fn visit_impl_item(&mut self, item: &'a syn::ImplItem) {
        let attributes: &[Attribute] = match item {
            syn::ImplItem::Const(item) => &item.attrs,
            syn::ImplItem::Fn(item) => &item.attrs,
            syn::ImplItem::Type(item) => &item.attrs,
            syn::ImplItem::Macro(item) => &item.attrs,
            _ => &[],
        };
        if !test_alone(attributes) {
            visit::visit_impl_item(self, item);
        }
    }

    fn visit_field(&mut self, field: &'a syn::Field) {
        if !test_alone(&field.attrs) {
            visit::visit_field(self, field);
        }
    }

    fn visit_variant(&mut self, variant: &'a syn::Variant) {
        if !test_alone(&variant.attrs) {
            visit::visit_variant(self, variant);
        }
    }

    fn visit_arm(&mut self, arm: &'a syn::Arm) {
        if !test_alone(&arm.attrs) {
            visit::visit_arm(self, arm);
        }
    }

    fn visit_local(&mut self, local: &'a syn::Local) {
        if !test_alone(&local.attrs) {
            visit::visit_local(self, local);
        }
    }
}

/// The texts in an attribute: `serde(with = "…")` names a module in one.
fn texts(tokens: TokenStream) -> Vec<String> {
    tokens
        .into_iter()
        .flat_map(|token| match token {
            TokenTree::Group(group) => texts(group.stream()),
            TokenTree::Literal(literal) => syn::parse_str::<syn::LitStr>(&literal.to_string())
                .map(|text| vec![text.value()])
                .unwrap_or_default(),
            _ => Vec::new(),
        })
        .collect()
}

/// Whether something is compiled for tests alone.
pub fn test_alone(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| match &attribute.meta {
        Meta::List(list) if list.path.is_ident("cfg") => {
            list.parse_args::<Meta>().is_ok_and(|condition| needs_test(&condition))
        }
        _ => false,
    })
}

/// Whether a condition holds in tests alone.
fn needs_test(condition: &Meta) -> bool {
    let Meta::List(list) = condition else { return condition.path().is_ident("test") };
    let Ok(parts) = list.parse_args_with(Punctuated::<Meta, Token![,]>::parse_terminated) else {
        return false;
    };
    if list.path.is_ident("all") {
        parts.iter().any(needs_test)
    } else {
        list.path.is_ident("any") && !parts.is_empty() && parts.iter().all(needs_test)
    }
}

/// An item's attributes.
pub fn attributes(item: &Item) -> &[Attribute] {
    match item {
        Item::Const(item) => &item.attrs,
        Item::Enum(item) => &item.attrs,
        Item::ExternCrate(item) => &item.attrs,
        Item::Fn(item) => &item.attrs,
        Item::ForeignMod(item) => &item.attrs,
        Item::Impl(item) => &item.attrs,
        Item::Macro(item) => &item.attrs,
        Item::Mod(item) => &item.attrs,
        Item::Static(item) => &item.attrs,
        Item::Struct(item) => &item.attrs,
        Item::Trait(item) => &item.attrs,
        Item::TraitAlias(item) => &item.attrs,
        Item::Type(item) => &item.attrs,
        Item::Union(item) => &item.attrs,
        Item::Use(item) => &item.attrs,
        _ => &[],
    }
}
