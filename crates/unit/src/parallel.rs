//! A row of elements side by side: the feed flow of each and the common concentrate pressure.
//!
//! Newton's method on a matrix shaped like an arrow; where that does not arrive, three bracketed roots, one inside the other.

use crate::element::{Passage, pass};
use crate::film::Stream;
use crate::model::Frame;
use crate::number::{Dual, Number};
use crate::point::ElementPoint;
use crate::root::{Secant, rising_root};
use crate::steady::{COARSE, TOLERANCE, Transport, lift_membrane, lift_surroundings};
use crate::workspace::Workspace;

impl Frame<'_> {
    /// One element of a parallel row at the feed flow `q` and the pressure `p`.
    pub(crate) fn branch<N: Number>(
        &self,
        i: usize,
        q: N,
        p: N,
        segments: usize,
        workspace: &mut Workspace,
    ) -> Option<Passage<N>> {
        let rated = self.model.elements.get(i)?;
        let membrane = workspace.membranes.get(i)?;
        let stream = Stream {
            flow: q,
            salt: q * self.concentration,
            pressure: p,
        };
        let around = lift_surroundings(&self.around, segments);
        let passage = pass(&rated.channel, &lift_membrane(membrane), &around, &stream);
        *workspace.elements.get_mut(i)? = ElementPoint::of(&stream, &passage, rated.channel.area);
        Some(passage)
    }

    /// All elements of a parallel row at their flows; with slopes, or with those that are there already.
    fn row<T: Transport>(
        &self,
        transport: &T,
        p: f64,
        slopes: Option<usize>,
        workspace: &mut Workspace,
    ) -> Option<()> {
        for i in 0..self.model.elements.len() {
            let q = *workspace.flows.get(i)?;
            // Equal elements at equal flows are marched once.
            let twin = (0..i).find(|&j| {
                workspace.flows.get(j) == Some(&q)
                    && self.model.elements.get(j) == self.model.elements.get(i)
                    && workspace.membranes.get(j) == workspace.membranes.get(i)
            });
            if let Some(j) = twin {
                transport.copy(i, j, workspace);
                let row = *workspace.rows.get(j)?;
                *workspace.rows.get_mut(i)? = row;
            } else if let Some(segments) = slopes {
                let passage = self.branch(
                    i,
                    Dual::<2>::variable(q, 0),
                    Dual::variable(p, 1),
                    segments,
                    workspace,
                )?;
                *workspace.rows.get_mut(i)? = Row {
                    flow: passage.out.flow,
                    drop: passage.drop,
                };
            } else {
                let (flow, drop) = transport.branch(self, i, q, p, workspace)?;
                let row = workspace.rows.get_mut(i)?;
                row.flow.value = flow;
                row.drop.value = drop;
            }
        }
        Some(())
    }

    pub(crate) fn parallel<T: Transport>(&self, transport: &T, workspace: &mut Workspace) -> Option<f64> {
        let count = self.model.elements.len();
        let share = self.guess(workspace) / count as f64;
        workspace.flows.clear();
        workspace.flows.resize(count, share);
        let fine = self.around.segments;
        let mut common = None;
        if fine > 2 * COARSE || !T::ONE_SALT {
            self.parallel_newton(transport, &mut common, Some(COARSE), 1e-4, workspace)?;
            let found = self.parallel_newton(transport, &mut common, None, TOLERANCE, workspace);
            if found.is_some() {
                return found;
            }
            if !T::ONE_SALT {
                // From where one salt is steady, with its slopes there.
                workspace.flows.fill(share);
                common = None;
                self.parallel_newton(transport, &mut common, Some(fine), 1e-6, workspace)?;
                return self.parallel_newton(transport, &mut common, None, TOLERANCE, workspace);
            }
        }
        self.parallel_newton(transport, &mut common, Some(fine), TOLERANCE, workspace)
    }

    /// Newton's method on the flows of a row. With `slopes` one salt is marched in so many segments and the slopes are its
    /// own; without, the slopes found last serve every step.
    fn parallel_newton<T: Transport>(
        &self,
        transport: &T,
        common: &mut Option<f64>,
        slopes: Option<usize>,
        tolerance: f64,
        workspace: &mut Workspace,
    ) -> Option<f64> {
        let count = self.model.elements.len();
        for _ in 0..if slopes.is_some() { 40 } else { 15 } {
            let total: f64 = workspace.flows.iter().sum();
            let (p, slope) = self.membrane_pressure(total);
            workspace.membrane_pressure = p;
            self.row(transport, p, slopes, workspace)?;
            let drop = *common.get_or_insert_with(|| {
                workspace.rows.iter().map(|row| row.drop.value).sum::<f64>() / count as f64
            });
            let pc = p - drop;
            let (r, dr) = self.restrictor.flow(pc);
            let out: f64 = workspace.rows.iter().map(|row| row.flow.value).sum();
            let arrow = Arrow::of(&workspace.rows, slope, dr);
            let gap = |i: usize| {
                workspace
                    .rows
                    .get(i)
                    .map_or(f64::NAN, |row| drop - row.drop.value)
            };
            let step = arrow.solve(&workspace.rows, gap, out - r);
            let mut size = (step.pressure / pc.abs().max(1.0)).abs();
            let mut damping: f64 = 1.0;
            for (i, q) in workspace.flows.iter().enumerate() {
                let dq = arrow.flow_step(&workspace.rows, i, gap(i), &step);
                size = size.max((dq / q).abs());
                // A flow may at most fall to a third or treble in one step.
                damping = damping
                    .min(0.67 * q / (-dq).max(1e-300))
                    .min(2.0 * q / dq.max(1e-300));
            }
            if !size.is_finite() {
                return None;
            }
            if size <= tolerance {
                workspace.concentrate_pressure = pc;
                return Some(total);
            }
            for (i, q) in workspace.flows.iter_mut().enumerate() {
                *q += damping * arrow.flow_step(&workspace.rows, i, gap(i), &step);
            }
            *common = Some(drop + damping * (slope * step.total - step.pressure));
        }
        None
    }

    /// The same by three bracketed roots: total flow, drop over the elements, flow of one element.
    pub(crate) fn parallel_nested<T: Transport>(
        &self,
        transport: &T,
        workspace: &mut Workspace,
    ) -> Option<f64> {
        let count = self.model.elements.len();
        let guess = self.guess(workspace);
        workspace.flows.clear();
        workspace.flows.resize(count, guess / count as f64);
        // Ions are marched to less than the last digit: a row that comes here is at the edge of what has a solution.
        let fineness = if T::ONE_SALT { 1.0 } else { 1e4 };
        let mut drop_guess = 1e3;
        let mut lost = false;
        let mut outer = Secant::default();
        let feed = rising_root(
            |total| {
                // What was lost on the way does not matter: the root is the last that is looked at.
                lost = false;
                let (p, _) = self.membrane_pressure(total);
                workspace.membrane_pressure = p;
                let mut middle = Secant::default();
                let drop = rising_root(
                    |drop| {
                        let (mut sum, mut by_drop) = (0.0, 0.0);
                        for i in 0..count {
                            let found = self.flow_at_drop(transport, i, p, drop, 1e-12 * fineness, workspace);
                            let Some((q, slope)) = found else {
                                lost = true;
                                continue;
                            };
                            sum += q;
                            by_drop += 1.0 / slope;
                        }
                        (sum - total, middle.slope(drop, sum - total, by_drop))
                    },
                    drop_guess,
                    1e-11 * fineness,
                );
                let Some(drop) = drop else {
                    lost = true;
                    return (f64::NAN, f64::NAN);
                };
                drop_guess = drop;
                workspace.concentrate_pressure = p - drop;
                let out: f64 = workspace.elements.iter().map(|e| e.out_flow).sum();
                let value = out - self.restrictor.flow(p - drop).0;
                (value, outer.slope(total, value, 1.0))
            },
            guess,
            TOLERANCE * fineness,
        );
        if lost { None } else { feed }
    }

    /// The feed flow at which an element loses `drop`, and the slope of its drop there; starts from the flow found last and
    /// leaves its own.
    fn flow_at_drop<T: Transport>(
        &self,
        transport: &T,
        i: usize,
        p: f64,
        drop: f64,
        tolerance: f64,
        workspace: &mut Workspace,
    ) -> Option<(f64, f64)> {
        let start = *workspace.flows.get(i)?;
        let mut slope = f64::NAN;
        let mut secant = Secant::default();
        let q = rising_root(
            |q| {
                if T::ONE_SALT {
                    let dual = self.branch(
                        i,
                        Dual::<1>::variable(q, 0),
                        Dual::constant(p),
                        self.around.segments,
                        workspace,
                    );
                    let Some(dual) = dual else {
                        return (f64::NAN, f64::NAN);
                    };
                    slope = dual.drop.slope[0];
                    return (dual.drop.value - drop, slope);
                }
                let Some((_, lost)) = transport.branch(self, i, q, p, workspace) else {
                    return (f64::NAN, f64::NAN);
                };
                // The drop of a channel is nearly in proportion to its flow.
                slope = secant.slope(q, lost - drop, lost / q);
                (lost - drop, slope)
            },
            start,
            tolerance,
        )?;
        *workspace.flows.get_mut(i)? = q;
        Some((q, slope))
    }
}

/// Concentrate flow and drop of one element of a parallel row; directions: its own feed flow, the common feed pressure.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row {
    pub(crate) flow: Dual<2>,
    pub(crate) drop: Dual<2>,
}

impl Row {
    /// Slopes of the concentrate pressure: a and b of [`Arrow`].
    fn pressure(&self) -> [f64; 2] {
        [-self.drop.slope[0], 1.0 - self.drop.slope[1]]
    }
}

/// The linear equations of a parallel row,
///
/// ```text
/// a_i dQ_i + b_i s sum(dQ) - dP_c            = -R_i      the concentrate pressure of element i
/// sum(c_i dQ_i) + sum(d_i) s sum(dQ) - r dP_c = -R_0      what the restrictor takes
/// ```
///
/// with a, b the slopes of an element's concentrate pressure by its flow and by the feed pressure, c, d those of its
/// concentrate flow, s the slope of the feed pressure by the total flow, r the restrictor's.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Arrow {
    s: f64,
    r: f64,
    by_a: f64,
    b_by_a: f64,
    c_by_a: f64,
    cb_by_a: f64,
    d: f64,
}

/// Step of total flow and of the common concentrate pressure.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ArrowStep {
    pub(crate) total: f64,
    pub(crate) pressure: f64,
}

impl Arrow {
    pub(crate) fn of(rows: &[Row], s: f64, r: f64) -> Self {
        let mut arrow = Self {
            s,
            r,
            by_a: 0.0,
            b_by_a: 0.0,
            c_by_a: 0.0,
            cb_by_a: 0.0,
            d: 0.0,
        };
        for row in rows {
            let [a, b] = row.pressure();
            let [c, d] = row.flow.slope;
            arrow.by_a += 1.0 / a;
            arrow.b_by_a += b / a;
            arrow.c_by_a += c / a;
            arrow.cb_by_a += c * b / a;
            arrow.d += d;
        }
        arrow
    }

    pub(crate) fn solve(&self, rows: &[Row], gap: impl Fn(usize) -> f64, rest: f64) -> ArrowStep {
        let (mut gap_by_a, mut c_gap_by_a) = (0.0, 0.0);
        for (i, row) in rows.iter().enumerate() {
            let g = gap(i) / row.pressure()[0];
            gap_by_a += g;
            c_gap_by_a += row.flow.slope[0] * g;
        }
        // sum(dQ) = alpha dP_c - beta.
        let whole = 1.0 + self.s * self.b_by_a;
        let (alpha, beta) = (self.by_a / whole, gap_by_a / whole);
        let through = self.s * (self.d - self.cb_by_a);
        let pressure = (-rest + c_gap_by_a + beta * through) / (self.c_by_a + alpha * through - self.r);
        ArrowStep {
            total: alpha * pressure - beta,
            pressure,
        }
    }

    pub(crate) fn flow_step(&self, rows: &[Row], i: usize, gap: f64, step: &ArrowStep) -> f64 {
        rows.get(i).map_or(f64::NAN, |row| {
            let [a, b] = row.pressure();
            (step.pressure - gap - b * self.s * step.total) / a
        })
    }
}
