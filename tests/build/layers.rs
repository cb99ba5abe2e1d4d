//! The map in DEVELOPERS.md holds: the core's rooms import downward, and in no crate do files
//! import each other in a circle.
//!
//! An import is a path that code writes: in a `use`, in an expression or a type, in a macro's
//! call, in an attribute. It goes from the file that writes it to the file that defines the
//! item, however many re-exports lie between. So
//!
//! - a child that takes what its parent's own file defines imports its parent;
//! - a child that takes, through its parent, what a sibling defines imports the sibling;
//! - `mod child;` and `pub use child::Item;` are no imports: a parent that declares its children
//!   and hands on what they hold needs nothing of them. It imports a child as soon as its own
//!   code names the child's item, or a private `use` brings that in;
//! - a method's call is no path: wherever its `impl` is, only its type's name counts;
//! - what is compiled for tests alone counts nowhere, nor do the files that it declares.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use hosewright_tests::imports::Imports;
use tempfile::TempDir;

/// The core's rooms from the ground up; those of one line don't import each other.
const FLOORS: &[&[&str]] = &[
    &["text", "pdf"],
    &["file", "measure"],
    &["hose"],
    &["tag", "fit", "inspection", "device"],
    &["photograph", "policy", "staff"],
    &["event"],
    &["journal"],
    &["record"],
    &["words"],
    &["answer"],
    &["index"],
    &["fleet", "swap", "set_view", "spreadsheet", "case"],
    &["view", "rental", "set_answer", "set_picture"],
    &["hose_picture"],
    &["logbook"],
];

fn floor(room: &str) -> Option<usize> {
    FLOORS.iter().position(|rooms| rooms.contains(&room))
}

fn project() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

static CORE: LazyLock<Imports> =
    LazyLock::new(|| Imports::read(&project().join("core/src/lib.rs")));

/// The roots of the other crates: the faces and the reader.
fn others() -> Vec<PathBuf> {
    let folders = fs::read_dir(project().join("bindings")).unwrap().flatten();
    let roots = folders
        .flat_map(|folder| ["src/lib.rs", "src/main.rs"].map(|root| folder.path().join(root)));
    let roots = roots.chain([project().join("core/reader/src/lib.rs")]);
    roots.filter(|root| root.exists()).collect()
}

/// The imports between rooms that do not run downward.
fn upward(imports: &Imports, floor: impl Fn(&str) -> Option<usize>) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for import in imports.all() {
        let (Some(from), Some(to)) = (import.from.first(), import.to.first()) else { continue };
        if from != to && floor(to) >= floor(from) {
            all.insert(format!("{} imports {to}", import.from.join("::")));
        }
    }
    all
}

#[test]
fn the_cores_rooms_import_downward() {
    let imports = CORE.all().count();
    assert!(imports > 1000, "only {imports} imports were found");
    let upward = upward(&CORE, floor);
    assert!(upward.is_empty(), "{upward:#?}");
}

#[test]
fn the_map_has_every_room_of_the_core_once() {
    let mut mapped: Vec<&str> = FLOORS.iter().copied().flatten().copied().collect();
    mapped.sort_unstable();
    assert_eq!(mapped, CORE.rooms());
}

#[test]
fn no_files_of_the_core_import_each_other_in_a_circle() {
    let circles = CORE.circles();
    assert!(circles.is_empty(), "{circles:#?}");
}

#[test]
fn no_files_of_another_crate_import_each_other_in_a_circle() {
    let others = others();
    assert!(others.len() > 2, "{others:?}");
    let circles: Vec<_> = others.iter().flat_map(|root| Imports::read(root).circles()).collect();
    assert!(circles.is_empty(), "{circles:#?}");
}

/// A crate made up of some files, the first of which is its root.
fn made_up(files: &[(&str, &str)]) -> Imports {
    let folder = TempDir::new().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    Imports::read(&folder.path().join(files[0].0))
}

/// The circle that two files are in, where the second imports the first in some way.
fn circle_by(import: &str) -> Vec<Vec<String>> {
    made_up(&[
        ("lib.rs", "mod low; mod high; pub use high::Roof;"),
        ("low.rs", &format!("pub struct Ground; {import}")),
        ("high.rs", "use crate::low::Ground; pub struct Roof(Ground); pub fn build() {}"),
    ])
    .circles()
}

#[test]
fn a_circle_is_found_however_the_import_is_written() {
    assert_eq!(circle_by(""), Vec::<Vec<String>>::new());
    for import in [
        "use crate::high::Roof;",
        "use super::{high::{self, build as made}};",
        "use crate::Roof;",
        "fn up() { crate::high::build() }",
        "fn up(roof: super::high::Roof) {}",
        "fn up() { use crate::high; }",
        "fn up() { assert!(matches!(0, 0), \"{}\", crate::high::build()); }",
        "pub use crate::high::Roof;",
        "#[serde(with = \"crate::high\")] struct Kept;",
        "#[cfg(test)] mod tests { fn up() {} } use crate::high::Roof;",
        "#[cfg(any(test, feature = \"drawn\"))] use crate::high::Roof;",
        "impl Ground { #[cfg(test)] fn none() {} fn up() { crate::high::build() } }",
    ] {
        assert_eq!(circle_by(import).len(), 1, "{import}");
    }
    assert_eq!(
        circle_by("use crate::high::Roof; fn up() { super::high::build() }"),
        [["high.rs -> low.rs: Ground", "low.rs -> high.rs: Roof, build"]]
    );
}

#[test]
fn what_is_no_import_makes_no_circle() {
    for import in [
        "#[cfg(test)] mod tests { use crate::high::Roof; }",
        "#[cfg(test)] use crate::high::Roof;",
        "#[cfg(all(test, unix))] fn up() { crate::high::build() }",
        "impl Ground { #[cfg(test)] fn up() { crate::high::build() } }",
        "pub(in crate::low) fn up() {}",
        "/// See [`crate::high::Roof`].\nfn up(build: u8) -> u8 { build }",
        "fn up() { \"crate::high::build()\"; }",
        "use std::high::Roof;",
    ] {
        assert_eq!(circle_by(import), Vec::<Vec<String>>::new(), "{import}");
    }
}

/// A parent in `room/mod.rs` with a child that takes the parent's own constant.
fn circles_of_parent(parent: &str) -> usize {
    let child = "pub struct Item; pub fn make() -> u8 { super::LIMIT }";
    let parent = format!("mod child; pub const LIMIT: u8 = 1; {parent}");
    made_up(&[("main.rs", "mod room;"), ("room/mod.rs", parent.as_str()), ("room/child.rs", child)])
        .circles()
        .len()
}

#[test]
fn a_parent_that_hands_on_needs_nothing_of_its_children() {
    for parent in ["", "pub use child::Item;", "pub(crate) use self::child::{Item, make};"] {
        assert_eq!(circles_of_parent(parent), 0, "{parent}");
    }
    for parent in [
        "use child::Item;",
        "fn up() { child::make(); }",
        "pub use child::make; fn up() { make(); }",
        "pub use child::Item; impl Item {}",
        "pub use child::Item; fn up() -> Vec<u8> { vec![Item.size()] }",
    ] {
        assert_eq!(circles_of_parent(parent), 1, "{parent}");
    }
}

#[test]
fn a_sibling_behind_a_re_export_is_who_is_imported() {
    let parent = "mod a; mod b; pub use a::A; pub use b::B;";
    let apart =
        [("lib.rs", parent), ("a.rs", "pub struct A(super::B);"), ("b.rs", "pub struct B;")];
    assert_eq!(made_up(&apart).circles().len(), 0);
    let both = [apart[0], apart[1], ("b.rs", "use crate::*; pub struct B(Box<A>);")];
    assert_eq!(made_up(&both).circles(), [["a.rs -> b.rs: B", "b.rs -> a.rs: A"]]);
}

#[test]
fn an_upward_import_is_found_even_where_it_only_hands_on() {
    let floor = |room: &str| ["low", "high"].iter().position(|known| *known == room);
    let read = |import: &str| {
        upward(
            &made_up(&[
                ("lib.rs", "pub mod low; pub mod high;"),
                ("low/mod.rs", "mod deep; pub use deep::*;"),
                ("low/deep.rs", import),
                ("high.rs", "pub struct Roof;"),
            ]),
            floor,
        )
    };
    assert_eq!(read("pub struct Ground;").len(), 0);
    for import in ["pub use crate::high::Roof;", "type Own = super::super::high::Roof;"] {
        assert_eq!(read(import).into_iter().collect::<Vec<_>>(), ["low::deep imports high"]);
    }
}
