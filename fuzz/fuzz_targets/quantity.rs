//! Any bytes are a value or an error, and a value survives being written and read again.
#![no_main]

use libfuzzer_sys::fuzz_target;
use quantity::{Context, Decimal, Ion, Kind, parse};

fuzz_target!(|data: &[u8]| {
    let [kind, context, text @ ..] = data else { return };
    let kind = Kind::ALL[usize::from(*kind) % Kind::ALL.len()];
    let context = Context {
        meter_factor: (context & 1 == 1).then_some(0.5),
        decimal: [Decimal::Strict, Decimal::Point, Decimal::Comma][usize::from(context >> 1) % 3],
        ion: (context & 64 == 64).then_some(Ion::HARDNESS),
    };
    let text = String::from_utf8_lossy(text);
    if let Ok(parsed) = parse(kind, &text, &context) {
        let written = parsed.format();
        let again = parse(parsed.kind(), &written, &Context::default()).expect("what was written can be read");
        assert_eq!(again.value.to_bits(), parsed.value.to_bits(), "{text:?} -> {written:?}");
    }
});
