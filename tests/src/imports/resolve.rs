//! Which file holds what a path names.

use std::collections::BTreeSet;
use std::path::PathBuf;

use super::paths::Named;
use super::source::{Module, Source};

/// No path goes through more re-exports than this; a ring of them ends here.
const FARTHEST: usize = 16;

/// A file takes something from another.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Import {
    /// The module that takes, from the root down.
    pub from: Vec<String>,
    /// The module that holds it.
    pub to: Vec<String>,
    /// The files that they are in.
    pub files: (PathBuf, PathBuf),
    /// The item, by its name there; none is the module itself.
    pub item: Option<String>,
}

/// What every file takes from others.
pub fn imports(source: &Source) -> BTreeSet<Import> {
    let mut all = BTreeSet::new();
    for (own, module) in source.modules.iter().enumerate() {
        for named in &module.named {
            let held = source.holders(own, &named.path, 0).into_iter();
            let held = held.map(|(to, item)| (&source.modules[to], item));
            let held = held.filter(|(to, _)| to.file != module.file && counts(module, named, to));
            all.extend(held.map(|(to, item)| Import {
                from: module.name.clone(),
                to: to.name.clone(),
                files: (module.file.clone(), to.file.clone()),
                item,
            }));
        }
    }
    all
}

/// A module that hands on what its own children hold needs nothing of them.
fn counts(from: &Module, named: &Named, to: &Module) -> bool {
    !(named.handed_on && to.name.starts_with(&from.name))
}

/// A module, and the item in it; none is the module itself.
type Held = (usize, Option<String>);

impl Source {
    /// What a path names, seen from a module.
    fn holders(&self, own: usize, path: &[String], depth: usize) -> BTreeSet<Held> {
        let mut at = own;
        let mut rest = path;
        let mut anchored = false;
        while let Some((first, after)) = rest.split_first() {
            match first.as_str() {
                "crate" if !anchored => at = 0,
                "self" if !anchored => {}
                "super" => match self.modules[at].parent {
                    Some(parent) => at = parent,
                    None => return BTreeSet::new(),
                },
                _ => break,
            }
            anchored = true;
            rest = after;
        }
        if rest.is_empty() {
            // `self` and `super` alone name no item; a `use super::*` is asked by each name.
            return BTreeSet::new();
        }
        self.inside(at, rest, depth)
    }

    /// What a path names inside a module.
    fn inside(&self, at: usize, path: &[String], depth: usize) -> BTreeSet<Held> {
        let Some((first, rest)) = path.split_first().filter(|_| depth < FARTHEST) else {
            return BTreeSet::new();
        };
        let module = &self.modules[at];
        let mut all = BTreeSet::new();
        if let Some(child) = module.children.get(first) {
            let deeper = self.inside(*child, rest, depth + 1);
            all.extend(if deeper.is_empty() { BTreeSet::from([(*child, None)]) } else { deeper });
            if !rest.is_empty() {
                return all;
            }
        }
        if module.items.contains(first) {
            all.insert((at, Some(first.clone())));
        }
        for (_, path) in module.imported.iter().filter(|(name, _)| name == first) {
            let whole: Vec<String> = path.iter().chain(rest).cloned().collect();
            all.extend(self.holders(at, &whole, depth + 1));
        }
        // Another crate, of which a glob here takes everything, is not looked for in globs.
        let other = |glob: &&Vec<String>| glob.first() == Some(first);
        if all.is_empty() && !module.globs.iter().any(|glob| other(&glob)) {
            for glob in &module.globs {
                let whole: Vec<String> = glob.iter().chain(path).cloned().collect();
                all.extend(self.holders(at, &whole, depth + 1));
            }
        }
        all
    }
}
