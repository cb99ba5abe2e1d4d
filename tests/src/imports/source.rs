//! A crate's modules, as its `mod` lines name them.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use syn::{Attribute, Item, ItemMod, Meta};

use super::paths::{Named, attributes, named_in, test_alone, used};

/// Where the modules of a crate stand among each other; the first is the root.
pub struct Source {
    pub modules: Vec<Module>,
}

/// One module, in a file of its own or inside another's.
pub struct Module {
    pub name: Vec<String>,
    pub file: PathBuf,
    pub parent: Option<usize>,
    pub children: BTreeMap<String, usize>,
    /// What is defined here, by name.
    pub items: BTreeSet<String>,
    /// What a name means that a `use` brings in.
    pub imported: Vec<(String, Vec<String>)>,
    /// Modules of which every name is brought in.
    pub globs: Vec<Vec<String>>,
    /// Every path that is written here.
    pub named: Vec<Named>,
}

impl Source {
    pub fn read(root: &Path) -> Self {
        let mut source = Self { modules: Vec::new() };
        let folder = root.parent().expect("a folder");
        source.file(Vec::new(), root, folder, None);
        source
    }

    fn file(
        &mut self,
        name: Vec<String>,
        file: &Path,
        folder: &Path,
        parent: Option<usize>,
    ) -> usize {
        let text =
            fs::read_to_string(file).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
        let parsed =
            syn::parse_file(&text).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
        self.module(name, file, folder, parent, &parsed.items)
    }

    fn module(
        &mut self,
        name: Vec<String>,
        file: &Path,
        folder: &Path,
        parent: Option<usize>,
        items: &[Item],
    ) -> usize {
        let own = self.modules.len();
        self.modules.push(Module {
            name,
            file: file.to_owned(),
            parent,
            children: BTreeMap::new(),
            items: BTreeSet::new(),
            imported: Vec::new(),
            globs: Vec::new(),
            named: Vec::new(),
        });
        for item in items.iter().filter(|item| !test_alone(attributes(item))) {
            match item {
                Item::Mod(child) => self.child(own, folder, child),
                Item::Use(item) => self.modules[own].take(used(item)),
                other => {
                    let module = &mut self.modules[own];
                    module.items.extend(defined(other));
                    module.named.extend(named_in(other));
                }
            }
        }
        own
    }

    fn child(&mut self, own: usize, folder: &Path, child: &ItemMod) {
        let short = child.ident.to_string();
        let inside = folder.join(&short);
        let mut name = self.modules[own].name.clone();
        name.push(short.clone());
        let file = self.modules[own].file.clone();
        let made = if let Some((_, items)) = &child.content {
            self.module(name, &file, &inside, Some(own), items)
        } else {
            let (file, inside) = place(folder, &file, &short, &child.attrs);
            self.file(name, &file, &inside, Some(own))
        };
        self.modules[own].children.insert(short, made);
    }
}

impl Module {
    fn take(&mut self, used: Vec<Named>) {
        for named in used {
            match &named.brings {
                Some(alias) if alias == "*" => self.globs.push(named.path.clone()),
                Some(alias) => self.imported.push((alias.clone(), named.path.clone())),
                None => {}
            }
            self.named.push(named);
        }
    }
}

/// The file of a module that is only declared, and the folder of its own children.
fn place(folder: &Path, parent: &Path, name: &str, attributes: &[Attribute]) -> (PathBuf, PathBuf) {
    if let Some(path) = attributes.iter().find_map(path_given) {
        let file = parent.with_file_name("").join(path);
        return (file.clone(), file.with_file_name(""));
    }
    let inside = folder.join(name);
    let beside = folder.join(format!("{name}.rs"));
    let file = if beside.exists() { beside } else { inside.join("mod.rs") };
    (file, inside)
}

fn path_given(attribute: &Attribute) -> Option<String> {
    let Meta::NameValue(pair) = &attribute.meta else { return None };
    let syn::Expr::Lit(syn::ExprLit { lit: syn::Lit::Str(text), .. }) = &pair.value else {
        return None;
    };
    pair.path.is_ident("path").then(|| text.value())
}

fn defined(item: &Item) -> Option<String> {
    let ident = match item {
        Item::Const(item) => &item.ident,
        Item::Enum(item) => &item.ident,
        Item::Fn(item) => &item.sig.ident,
        Item::Macro(item) => item.ident.as_ref()?,
        Item::Static(item) => &item.ident,
        Item::Struct(item) => &item.ident,
        Item::Trait(item) => &item.ident,
        Item::TraitAlias(item) => &item.ident,
        Item::Type(item) => &item.ident,
        Item::Union(item) => &item.ident,
        _ => return None,
    };
    Some(ident.to_string())
}
