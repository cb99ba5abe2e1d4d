//! The memory of a sheet of tags: `page_memory PROGRAM` serves an empty record
//! for each number of tags, asks for so many blank ones as PDF, and prints the
//! most memory that the program took (Linux counts it as `VmHWM`), in kB.

use std::process::Command;

use hosewright_tests::page::Page;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let program = std::env::args().nth(1).ok_or("page_memory PROGRAM")?;
    for tags in [1, 100, 1000] {
        let folder = tempfile::tempdir()?;
        let mut command = Command::new(&program);
        command.env("HOSEWRIGHT_STORE", folder.path().join("store"));
        command.env("HOSEWRIGHT_KEYS", folder.path().join("keys"));
        command.args(["desk", "--port", "0"]);
        let page = Page::served(command);
        let file = page.get(&format!("/tags/sheet.pdf?blank={tags}"));
        if file.status != 200 {
            return Err(format!("{tags} tags: {}", file.status).into());
        }
        let most = page.most_memory().ok_or("no figure")?;
        println!("{tags} tags\t{} bytes\t{most} kB", file.bytes.len());
    }
    Ok(())
}
