//! The JavaScript that loads the core in a browser, from the WebAssembly that cargo built:
//! what the command `wasm-bindgen` does, by its own library of the version in Cargo.lock.

use std::path::PathBuf;
use std::process::ExitCode;

use wasm_bindgen_cli_support::Bindgen;

fn main() -> ExitCode {
    let mut names = std::env::args_os().skip(1).map(PathBuf::from);
    let (Some(module), Some(out), None) = (names.next(), names.next(), names.next()) else {
        eprintln!("wasm-bindings MODULE.wasm FOLDER: writes core.js and core_bg.wasm there");
        return ExitCode::from(2);
    };
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(module)
        .out_name("core")
        .typescript(false)
        .remove_producers_section(true)
        .remove_name_section(true);
    match bindgen.web(true).and_then(|bindgen| bindgen.generate(out)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("wasm-bindings: {error:#}");
            ExitCode::FAILURE
        }
    }
}
