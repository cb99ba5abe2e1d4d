//! Puts the page for phones' browsers into the program, where it was built before:
//! `bindings/web/build`, then `HOSEWRIGHT_WEB=target/pocket cargo build`.

use std::env;
use std::fmt::Write;
use std::fs;
use std::io::{Error, Result};
use std::path::{Path, PathBuf};

fn main() -> Result<()> {
    println!("cargo::rerun-if-env-changed=HOSEWRIGHT_WEB");
    println!("cargo::rerun-if-changed=build.rs");
    let mut list = String::from("&[");
    if let Some(folder) = env::var_os("HOSEWRIGHT_WEB").filter(|name| !name.is_empty()) {
        // As it is typed: from the folder of the whole project.
        let folder = Path::new("../..").join(folder);
        println!("cargo::rerun-if-changed={}", folder.display());
        let mut files: Vec<PathBuf> =
            fs::read_dir(folder)?.map(|file| Ok(file?.path())).collect::<Result<_>>()?;
        files.sort();
        for file in files {
            let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let path = fs::canonicalize(&file)?;
            write!(list, "({name:?}, include_bytes!({path:?})),").map_err(Error::other)?;
        }
    }
    list.push(']');
    let out = env::var_os("OUT_DIR").ok_or_else(|| Error::other("cargo names no OUT_DIR"))?;
    fs::write(Path::new(&out).join("web.rs"), list)
}
