//! Valve settings that share the air out evenly.
//!
//! Left open, diffusers at unlike depths or on unlike runs don't share the air: the
//! shallow one takes most of it, and may leave a deep one dry. A valve on each branch
//! evens that out by taking from the easy branches the pressure they have over; the
//! manifold then stands at what the hardest branch needs.

use super::Equation;
use super::network::{Duty, Network, Node, NodeEnd};
use super::refusal::{Refusal, bounded};
use super::root::between;
use super::valve::ControlValve;
use crate::units::Mark;
use crate::units::quantity::{
    AbsolutePressure, AirAmount, GaugePressure, Pressure, ThermodynamicTemperature, si,
};

/// Duty point with every branch throttled to the same multiple of its need.
///
/// `sum of s w_i = rho_in q(P − p_a) − bleed(P)`, `P = max over i of P_i(s w_i)`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | w_i | least air that outlet i needs | kg/s |
/// | s | what multiple of its need each outlet gets | – |
/// | P_i | manifold pressure that outlet i needs for a flow | Pa |
///
/// P rises with s and the supply falls with P, so there is one s. At s = 1 the needs are
/// just met. Check: two lines of 50 ft at 4 and 8 ft shared evenly by valves stand near
/// 4.12 psi with 1.09 scfm each.
pub static EVENED_DUTY: Equation = Equation {
    name: "duty point with evened branches",
    formula: "sum s w_i = rho_in q(P - p_a) - bleed(P), P = max P_i(s w_i)",
    source: "conservation of mass; the hardest branch decides the pressure",
    mark: Mark::Exact,
    ranges: &[],
};

/// What valves on every branch make of a network.
#[derive(Debug, Clone, PartialEq)]
pub struct Evened {
    /// Multiple of its need that every outlet gets; 0 where the hardest never opens.
    pub scale: f64,
    /// Whether the curve ends before that: then `scale` is what it gives at its last
    /// pressure would allow, and the true one isn't known.
    pub beyond_curve: bool,
    /// Manifold pressure with the valves so set.
    pub manifold: GaugePressure,
    /// Greatest manifold pressure that any outlet needs for its need alone being met by
    /// all (`scale` 1).
    pub needed: GaugePressure,
    /// Air the machines have left for the network at `needed`; nothing where the curve
    /// ends before.
    pub supply_at_needed: Option<AirAmount>,
    /// Each outlet in the order of the tree.
    pub outlets: Vec<EvenedOutlet>,
}

/// One outlet of an evened network.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EvenedOutlet {
    /// Air it gets.
    pub amount: AirAmount,
    /// Pressure its valve has to take at the head of its run.
    pub surplus: Pressure,
    /// Kv of that valve; nothing where it stands fully open.
    pub kv: Option<f64>,
}

impl Evened {
    /// Manifold pressure of a throttled installation that was `open` without throttling:
    /// at least what it was, and at least what the hardest outlet needs.
    pub fn throttled_manifold(&self, open: &Duty) -> GaugePressure {
        if self.needed > open.manifold {
            self.needed
        } else {
            open.manifold
        }
    }
}

/// Shares the air out so that every outlet gets the same multiple of its need.
///
/// `needs` stand in the order of the tree, one for each distinct outlet; an outlet that
/// needs nothing is shut. `temperature` is that of the air in the valves.
///
/// Refused: another number of needs than of outlets, needs that are all nothing, or one
/// that is negative or no number.
pub fn even(
    network: &Network,
    needs: &[AirAmount],
    temperature: ThermodynamicTemperature,
) -> Result<Evened, Refusal> {
    let count = network.distinct_outlets();
    bounded(
        "number of needs",
        needs.len() as f64,
        count as f64,
        count as f64,
        "",
    )?;
    let mut least = Vec::with_capacity(needs.len());
    for need in needs {
        least.push(bounded("least flow", need.value(), 0.0, 1e4, "kg/s")?);
    }
    let ambient = network.surroundings().ambient.value();
    let needed = |scale: f64| needed(network.root(), scale, &mut least.iter());
    let (total, at_one) = needed(1.0);
    bounded("sum of the least flows", total, 1e-12, 1e9, "kg/s")?;
    let last = network.last_known();
    let (_, opening) = needed(0.0);
    let short = |scale: f64| {
        let (amount, pressure) = needed(scale);
        amount - network.supply(pressure)
    };
    let most = network.inlet_flow(ambient) * network.surroundings().inlet_density.value / total;
    let at_zero = short(0.0);
    let (scale, beyond_curve) = if opening >= last {
        (0.0, network.left_at_last() > 0.0)
    } else if at_zero >= 0.0 {
        (0.0, false)
    } else {
        let root = between(short, (0.0, at_zero), (most, short(most)), 1e-14 * most);
        (root.at, needed(root.at).1 > last * (1.0 + 1e-12))
    };
    let (amount, manifold) = needed(scale);
    let mut outlets = Vec::with_capacity(count);
    if scale > 0.0 {
        let setting = Setting { scale, temperature };
        setting.descend(
            network.root(),
            amount,
            manifold,
            &mut least.iter(),
            &mut outlets,
        );
    } else {
        outlets.resize(
            count,
            EvenedOutlet {
                amount: AirAmount::kilograms_per_second(0.0),
                surplus: si::pascals(0.0),
                kv: None,
            },
        );
    }
    Ok(Evened {
        scale,
        beyond_curve,
        manifold: GaugePressure::pascals(manifold - ambient),
        needed: GaugePressure::pascals(at_one - ambient),
        supply_at_needed: (at_one <= last)
            .then(|| AirAmount::kilograms_per_second(network.supply(at_one).max(0.0))),
        outlets,
    })
}

/// Air through a run in kg/s and the pressure at its head in Pa, where every outlet gets
/// `scale` times its need. An outlet without a need asks for no pressure.
fn needed(node: &Node, scale: f64, needs: &mut std::slice::Iter<'_, f64>) -> (f64, f64) {
    match &node.end {
        NodeEnd::Outlet(mouth) => {
            let need = needs.next().copied().unwrap_or(0.0);
            if need == 0.0 {
                return (0.0, 0.0);
            }
            let amount = scale * need;
            (
                amount,
                node.through(amount, mouth.before_check_valve(amount)),
            )
        }
        NodeEnd::Split(branches) => {
            let (mut amount, mut end) = (0.0, 0.0_f64);
            for (count, branch) in branches {
                let (each, head) = needed(branch, scale, needs);
                amount += count * each;
                end = end.max(head);
            }
            (amount, node.through(amount, end))
        }
    }
}

struct Setting {
    scale: f64,
    temperature: ThermodynamicTemperature,
}

impl Setting {
    /// Finds what each outlet's valve has to take, where `head` Pa stand before a run
    /// with `amount` kg/s.
    fn descend(
        &self,
        node: &Node,
        amount: f64,
        head: f64,
        needs: &mut std::slice::Iter<'_, f64>,
        outlets: &mut Vec<EvenedOutlet>,
    ) {
        let wanted = needed(node, self.scale, &mut needs.clone());
        match &node.end {
            NodeEnd::Outlet(_) => {
                needs.next();
                let surplus = if amount > 0.0 {
                    (head - wanted.1).max(0.0)
                } else {
                    0.0
                };
                let amount = AirAmount::kilograms_per_second(amount);
                // Less than a pascal is the search's own tolerance, not a setting.
                let kv = if surplus > 1.0 {
                    ControlValve::kv_for(
                        amount,
                        AbsolutePressure::pascals(head),
                        AbsolutePressure::pascals(head - surplus),
                        self.temperature,
                    )
                } else {
                    None
                };
                outlets.push(EvenedOutlet {
                    amount,
                    surplus: si::pascals(surplus),
                    kv,
                });
            }
            NodeEnd::Split(branches) => {
                let excess = |end: f64| node.through(amount, end) - head;
                let low = branches
                    .iter()
                    .fold((needs.clone(), 0.0_f64), |(mut left, most), (_, branch)| {
                        let (_, pressure) = needed(branch, self.scale, &mut left);
                        (left, most.max(pressure))
                    })
                    .1;
                let end = between(excess, (low, excess(low)), (head, excess(head)), 1e-9).at;
                for (_, branch) in branches {
                    let (each, _) = needed(branch, self.scale, &mut needs.clone());
                    self.descend(branch, each, end, needs, outlets);
                }
            }
        }
    }
}
