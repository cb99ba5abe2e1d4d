//! How long frames of 1280 × 720 take to read: a tag in a photo and in a film,
//! and frames without one.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use hosewright_core::tag::photo::{Conditions, empty_scene, photograph};
use hosewright_core::tag::{Frame, Level, Payload, PrinterDpi, Reader, TagSize, draw, read_frame};

fn frames(criterion: &mut Criterion) {
    let conditions = Conditions::default();
    let payload = Payload::parse("HW1:01H7K2M90101Y.").ok();
    let plan = payload
        .and_then(|p| draw::plan(TagSize::default(), PrinterDpi::default(), Level::Q, p).ok());
    let with = plan.map(|plan| photograph(&plan, &conditions)).unwrap_or_default();
    let mut reader = Reader::new();
    for (name, photo) in [("with a tag", with), ("without a tag", empty_scene(&conditions))] {
        let (width, height) = photo.dimensions();
        let Ok(frame) = Frame::new(photo.as_raw(), width, height, width) else { continue };
        criterion.bench_function(&format!("a frame {name}, and barcodes"), |bencher| {
            bencher.iter(|| read_frame(black_box(&frame)));
        });
        criterion.bench_function(&format!("a first frame {name}"), |bencher| {
            bencher.iter(|| {
                reader.forget();
                reader.read(black_box(&frame)).len()
            });
        });
        criterion.bench_function(&format!("the next frame {name}"), |bencher| {
            bencher.iter(|| reader.read(black_box(&frame)).len());
        });
    }
}

criterion_group!(benches, frames);
criterion_main!(benches);
