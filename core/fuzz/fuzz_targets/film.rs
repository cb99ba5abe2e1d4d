#![no_main]
libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    hosewright_tests::fuzzing::film(bytes);
});
