//! Running a script of this folder with the Python that has the reference codes.
#![allow(dead_code, reason = "each test uses a part of it")]
use std::io::Write;
use std::process::{Command, Stdio};

/// The script's standard output as JSON, `input` on its standard input.
pub(crate) fn python(script: &str, input: &serde_json::Value) -> serde_json::Value {
    let python = std::env::var("SALTMARK_PYTHON").unwrap_or_else(|_| {
        panic!("SALTMARK_PYTHON is not set: give it the path of a python with the packages numpy, scipy, phreeqc and iapws (`cargo xtask test` does)")
    });
    let path = format!("{}/tests/{script}", env!("CARGO_MANIFEST_DIR"));
    let mut child = Command::new(&python)
        .arg(&path)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap_or_else(|e| panic!("{python}: {e}"));
    child
        .stdin
        .take()
        .expect("a pipe")
        .write_all(input.to_string().as_bytes())
        .expect("written");
    let output = child.wait_with_output().expect("an end");
    assert!(output.status.success(), "{script} failed");
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// A small generator with a seed (splitmix64: Steele, Lea and Flood 2014), so that every run sees the same waters.
pub(crate) struct Random(pub(crate) u64);

impl Random {
    /// Between 0 and 1.
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Uniform between two numbers.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Log-uniform between two positive numbers, or 0 with the chance given.
    pub(crate) fn some(&mut self, none: f64, low: f64, high: f64) -> f64 {
        let x = self.between(low.ln(), high.ln()).exp();
        if self.unit() < none { 0.0 } else { x }
    }
}

/// An invented but plausible water: its temperature, pH, and composition in balance of charge.
pub(crate) struct Invented {
    pub(crate) temperature_c: f64,
    pub(crate) ph: f64,
    pub(crate) composition: water::Composition,
    pub(crate) concentration_factor: f64,
}

/// Waters from soft to brackish, in balance of charge by sodium or chloride. Each minor constituent is `absent` that often.
pub(crate) fn invented(seed: u64, count: usize, absent: f64) -> Vec<Invented> {
    use water::Constituent as C;
    let mut r = Random(seed);
    (0..count)
        .map(|_| {
            let mut c = water::Composition::default();
            let salt = r.between((1e-4_f64).ln(), (0.15_f64).ln()).exp();
            c[C::Calcium] = salt * r.between(0.01, 0.4);
            c[C::Magnesium] = salt * r.between(0.005, 0.25);
            c[C::Sodium] = salt * r.between(0.05, 1.0);
            c[C::Potassium] = salt * r.between(0.003, 0.05);
            c[C::Strontium] = r.some(absent, 1e-7, 1e-4);
            c[C::Barium] = r.some(absent, 1e-8, 2e-6);
            c[C::Iron] = r.some(absent, 1e-7, 3e-4);
            c[C::Manganese] = r.some(absent, 1e-7, 5e-5);
            c[C::Ammonium] = r.some(absent, 1e-6, 3e-4);
            c[C::Silica] = r.some(absent, 3e-5, 2e-3);
            c[C::Boron] = r.some(absent, 1e-6, 1e-3);
            c[C::Sulfate] = salt * r.between(0.01, 0.5);
            c[C::Nitrate] = r.some(absent, 1e-5, 1.5e-3);
            c[C::Fluoride] = r.some(absent, 5e-6, 4e-4);
            c[C::Phosphate] = r.some(absent, 1e-7, 5e-5);
            c.alkalinity_eq_kg = (salt * r.between(0.05, 0.6)).clamp(1e-4, 0.012);
            let ph = r.between(6.4, 8.6);
            let (cations, anions) = c.equivalents();
            if cations > anions {
                c[C::Chloride] = cations - anions;
            } else {
                c[C::Sodium] += anions - cations;
            }
            let room = 0.45 / (1.5 * c.equivalents().0);
            Invented {
                temperature_c: r.between(0.5, 44.5),
                ph,
                composition: c,
                concentration_factor: r.between(1.2, 5.0).min(room.max(1.05)),
            }
        })
        .collect()
}

/// Waters as the scripts take them.
pub(crate) fn as_input(waters: &[Invented]) -> serde_json::Value {
    let one = |w: &Invented| {
        let molality: serde_json::Map<String, serde_json::Value> = water::Constituent::ALL
            .iter()
            .map(|c| (c.field().to_owned(), serde_json::json!(w.composition[*c])))
            .collect();
        serde_json::json!({
            "temperature": w.temperature_c, "ph": w.ph, "alkalinity": w.composition.alkalinity_eq_kg,
            "concentration_factor": w.concentration_factor, "molality": molality,
        })
    };
    serde_json::Value::Array(waters.iter().map(one).collect())
}
