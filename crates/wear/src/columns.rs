//! A whole table of readings standardised at the speed of the memory, in the widest vectors of the processor.
#![expect(
    clippy::inline_always,
    reason = "all of the loop has to be compiled for the vectors that were found"
)]

use crate::d4516::{Complete, Reference, standardise_one};

/// What the instruments of a whole table of readings do anew each time; one standard deviation each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Errors {
    /// Relative, of both flows.
    pub flow: f64,
    /// Of the thermometer, C.
    pub temperature_c: f64,
    /// Of one gauge, kPa; three are read: feed, concentrate, permeate.
    pub gauge_kpa: f64,
    /// Relative, of both concentrations.
    pub concentration: f64,
    /// Absolute, of both concentrations, mg/L.
    pub concentration_mg_l: f64,
}

/// Columns of complete readings; one entry per reading, all of one length. Fields as in [`Complete`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Columns {
    /// See [`Complete::permeate_l_h`].
    pub permeate_l_h: Vec<f64>,
    /// See [`Complete::concentrate_l_h`].
    pub concentrate_l_h: Vec<f64>,
    /// See [`Complete::temperature_c`].
    pub temperature_c: Vec<f64>,
    /// See [`Complete::membrane_kpa`].
    pub membrane_kpa: Vec<f64>,
    /// See [`Complete::drop_kpa`].
    pub drop_kpa: Vec<f64>,
    /// See [`Complete::back_kpa`].
    pub back_kpa: Vec<f64>,
    /// See [`Complete::feed_mg_l`].
    pub feed_mg_l: Vec<f64>,
    /// See [`Complete::permeate_mg_l`].
    pub permeate_mg_l: Vec<f64>,
}

/// Columns of standardised readings. Fields as in [`Standardised`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StandardisedColumns {
    /// See [`Standardised::permeate_l_h`].
    pub permeate_l_h: Vec<f64>,
    /// See [`Standardised::salt_passage`].
    pub salt_passage: Vec<f64>,
    /// See [`Standardised::drop_kpa`].
    pub drop_kpa: Vec<f64>,
    /// See [`Standardised::driving_kpa`].
    pub driving_kpa: Vec<f64>,
    /// See [`Standardised::recovery`].
    pub recovery: Vec<f64>,
    /// See [`Standardised::permeate_sd`].
    pub permeate_sd: Vec<f64>,
    /// See [`Standardised::salt_passage_sd`].
    pub salt_passage_sd: Vec<f64>,
    /// See [`Standardised::drop_sd_kpa`].
    pub drop_sd_kpa: Vec<f64>,
}

/// Readings that are worked through between two writes to memory: their columns fit the first-level cache.
const BLOCK: usize = 64;

/// Carries a table of readings over to the reference, in the widest vectors that the processor has, into
/// columns that are used again.
///
/// Columns of unequal length are cut to the shortest.
pub fn standardise_columns(
    readings: &Columns,
    errors: &Errors,
    reference: &Reference,
    out: &mut StandardisedColumns,
) {
    let length = readings.len();
    for column in out.columns_mut() {
        column.resize(length, 0.0);
    }
    pulp::Arch::new().dispatch(Blocks {
        readings,
        errors,
        reference,
        out,
    });
}

/// The whole loop as one call, so that all of it is compiled for the vectors that were found.
struct Blocks<'a> {
    readings: &'a Columns,
    errors: &'a Errors,
    reference: &'a Reference,
    out: &'a mut StandardisedColumns,
}

impl pulp::NullaryFnOnce for Blocks<'_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        let length = self.readings.len();
        let inputs = self.readings.columns();
        let mut outputs = self.out.columns_mut();
        let mut start = 0;
        while start < length {
            let end = (start + BLOCK).min(length);
            block(inputs, self.errors, self.reference, &mut outputs, start, end);
            start = end;
        }
    }
}

impl Columns {
    /// Number of readings: the length of the shortest column.
    pub fn len(&self) -> usize {
        self.columns().into_iter().map(<[f64]>::len).min().unwrap_or(0)
    }

    /// Whether there is no reading.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    fn columns(&self) -> [&[f64]; 8] {
        [
            &self.permeate_l_h,
            &self.concentrate_l_h,
            &self.temperature_c,
            &self.membrane_kpa,
            &self.drop_kpa,
            &self.back_kpa,
            &self.feed_mg_l,
            &self.permeate_mg_l,
        ]
    }
}

impl StandardisedColumns {
    fn columns_mut(&mut self) -> [&mut Vec<f64>; 8] {
        [
            &mut self.permeate_l_h,
            &mut self.salt_passage,
            &mut self.drop_kpa,
            &mut self.driving_kpa,
            &mut self.recovery,
            &mut self.permeate_sd,
            &mut self.salt_passage_sd,
            &mut self.drop_sd_kpa,
        ]
    }
}

/// One block. The answers go through arrays of our own: slices that might overlap would keep the loop from
/// becoming vectors, arrays on the stack can't.
#[inline(always)]
fn block(
    columns: [&[f64]; 8],
    errors: &Errors,
    reference: &Reference,
    out: &mut [&mut Vec<f64>; 8],
    start: usize,
    end: usize,
) {
    let n = end - start;
    let mut outputs = [[0.0; BLOCK]; 8];
    let whole = columns.map(|column| column[start..end].first_chunk::<BLOCK>());
    if let [
        Some(q),
        Some(qc),
        Some(t),
        Some(p),
        Some(d),
        Some(b),
        Some(cf),
        Some(cp),
    ] = whole
    {
        whole_block([q, qc, t, p, d, b, cf, cp], errors, reference, &mut outputs);
    } else {
        // A short last block is filled up with ones, whose answers are thrown away.
        let mut inputs = [[1.0; BLOCK]; 8];
        for (input, column) in inputs.iter_mut().zip(columns) {
            input[..n].copy_from_slice(&column[start..end]);
        }
        whole_block(inputs.each_ref(), errors, reference, &mut outputs);
    }
    for (output, column) in outputs.iter().zip(out) {
        column[start..end].copy_from_slice(&output[..n]);
    }
}

#[inline(always)]
fn whole_block(
    [q, qc, t, p, d, b, cf, cp]: [&[f64; BLOCK]; 8],
    errors: &Errors,
    reference: &Reference,
    outputs: &mut [[f64; BLOCK]; 8],
) {
    let [o_q, o_sp, o_d, o_ndp, o_y, o_sq, o_ssp, o_sd] = outputs;
    // P_m - dP/2 - P_p is half the sum of two gauges less a third; the drop is the difference of two.
    let driving_sd_kpa = errors.gauge_kpa * 1.5f64.sqrt();
    let drop_sd_kpa = errors.gauge_kpa * std::f64::consts::SQRT_2;
    for i in 0..BLOCK {
        let reading = Complete {
            permeate_l_h: q[i],
            concentrate_l_h: qc[i],
            temperature_c: t[i],
            membrane_kpa: p[i],
            drop_kpa: d[i],
            back_kpa: b[i],
            feed_mg_l: cf[i],
            permeate_mg_l: cp[i],
            driving_sd_kpa,
            drop_sd_kpa,
            permeate_flow_sd: errors.flow,
            concentrate_flow_sd: errors.flow,
            feed_relative_sd: errors.concentration,
            feed_sd_mg_l: errors.concentration_mg_l,
            permeate_relative_sd: errors.concentration,
            permeate_sd_mg_l: errors.concentration_mg_l,
            temperature_sd_c: errors.temperature_c,
        };
        let standardised = standardise_one(&reading, reference);
        o_q[i] = standardised.permeate_l_h;
        o_sp[i] = standardised.salt_passage;
        o_d[i] = standardised.drop_kpa;
        o_ndp[i] = standardised.driving_kpa;
        o_y[i] = standardised.recovery;
        o_sq[i] = standardised.permeate_sd;
        o_ssp[i] = standardised.salt_passage_sd;
        o_sd[i] = standardised.drop_sd_kpa;
    }
}
