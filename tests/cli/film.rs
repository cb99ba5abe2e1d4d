//! Meeting by sight, without a camera: a film as a picture, and the picture merged.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;

use hosewright_tests::desk::Desk;

#[test]
fn a_record_goes_from_one_desk_to_another_as_a_picture_that_moves() {
    let (one, other) = (Desk::new(), Desk::new());
    let hoses: Vec<String> = (0..12).map(|_| one.hose()).collect();
    let told = one.json("film --out film.png");
    assert_eq!(told["entries"], 12);
    let parts = told["parts"].as_u64().unwrap();
    assert_eq!(told["frames"].as_u64(), Some(parts + parts / 2 + 4));
    let film = one.path("film.png");
    let listed = other.run(&format!("merge {} --list", film.display())).out;
    assert!(listed.contains("12 entries"), "{listed}");
    let merged = other.json(&format!("merge {}", film.display()));
    assert_eq!(merged["merge"]["new"], 12);
    assert_eq!(other.json(&format!("answer {}", hoses[3]))["code"], *hoses[3]);

    // What the other has is shown in one symbol; only the rest is filmed.
    other.done("film --holds --out have.png");
    one.hose();
    let since = other.path("have.png");
    let said = one.done(&format!("film --out rest.png --since {}", since.display()));
    assert!(said.starts_with("1 entry as a film of "), "{said}");
    let merged = other.json(&format!("merge {}", one.path("rest.png").display()));
    assert_eq!((&merged["merge"]["new"], &merged["merge"]["known"]), (&1.into(), &0.into()));
    one.done(&format!("bundle --out rest.hwbundle --since {}", since.display()));
}

#[test]
fn bad_films_are_refused_and_change_nothing() {
    let (one, other) = (Desk::new(), Desk::new());
    (0..12).for_each(|_| drop(one.hose()));
    for (line, words) in [
        ("film --out film.gif", "end it in .png"),
        ("film --out film", "end it in .png"),
        ("film --out film.png --modules 98", "98 is not one of them"),
        ("film --out film.png --rate 0", "0 is not in 1..=30"),
        ("film --out film.png --rate 31", "31 is not in 1..=30"),
        ("film --out film.png --level X", "L, M, Q and H"),
        ("film --out film.png --holds --frames 3", "cannot be used with"),
        ("film --out film.png --since none.png", "none.png"),
    ] {
        let said = one.run(line);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{line}: {}", said.err);
        assert!(said.err.contains(words), "{line}: {}", said.err);
        assert!(!one.path("film.png").exists(), "{line}");
    }
    one.done("film --out short.png --frames 2 --modules 57");
    one.done("film --out film.png");
    let film = fs::read(one.path("film.png")).unwrap();
    fs::write(one.path("cut.png"), &film[..film.len() / 3]).unwrap();
    image::GrayImage::new(40, 40).save(one.path("black.png")).unwrap();
    for (file, words) in [
        ("short.png", "2 of "),
        ("cut.png", "the picture is damaged"),
        ("black.png", "no frame of a film was seen"),
    ] {
        let said = other.run(&format!("merge {}", one.path(file).display()));
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{file}: {}", said.err);
        assert!(said.err.contains(words), "{file}: {}", said.err);
    }
    assert_eq!(other.json("list").as_array().map(Vec::len), Some(0));
    // What is there is not written over, unless it is asked for.
    assert_eq!(one.run("film --out film.png").code, 2);
    one.done("film --out film.png --force");
}
