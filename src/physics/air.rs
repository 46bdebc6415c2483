//! Every equation of the air side, in the order in which air meets them.

use super::Equation;
use super::{
    atmosphere, check_valve, curve, diffuser, fittings, friction, head, heat, hose, network, power,
    reference, running_cost, sound, start_pressure, throttle, valve,
};

static EQUATIONS: [&Equation; 45] = [
    &atmosphere::STANDARD_PRESSURE,
    &atmosphere::SATURATION_PRESSURE,
    &atmosphere::MOIST_AIR_DENSITY,
    &atmosphere::AIR_VISCOSITY,
    &reference::VOLUME_BETWEEN_STATES,
    &reference::LINE_VOLUME,
    &head::WATER_DENSITY,
    &head::WATER_HEAD,
    &curve::CURVE_FLOW,
    &curve::ALTITUDE_MODEL,
    &curve::CLEARANCE_EFFICIENCY,
    &curve::FREQUENCY_LAWS,
    &valve::VALVE_FLOW,
    &valve::VALVE_COEFFICIENT,
    &fittings::BARB_LOSS,
    &fittings::FITTING_LOSS,
    &fittings::MINOR_LOSS,
    &friction::FRICTION_FACTOR,
    &friction::LINE_LOSS,
    &check_valve::CHECK_VALVE_LOSS,
    &diffuser::DIFFUSER_LOSS,
    &diffuser::DEFAULT_DIFFUSER_LOSS,
    &diffuser::CAPILLARY_PRESSURE,
    &diffuser::ORIFICE_FLOW,
    &network::DUTY_POINT,
    &throttle::EVENED_DUTY,
    &start_pressure::START_PRESSURE,
    &start_pressure::CLEARING_TIME,
    &power::ISOTHERMAL_POWER,
    &power::ISENTROPIC_POWER,
    &power::WIRE_TO_AIR,
    &power::ELECTRIC_POWER,
    &heat::DISCHARGE_TEMPERATURE,
    &heat::POLYTROPIC_EXPONENT,
    &heat::CABINET_RISE,
    &heat::CONDENSATE,
    &sound::SOUND_BY_DISTANCE,
    &sound::SOUND_POWER,
    &sound::SOUND_SUM,
    &sound::BACKGROUND,
    &hose::WEIGHT_IN_WATER,
    &hose::THIN_WALL,
    &hose::MEAN_DIAMETER,
    &hose::THICK_WALL,
    &running_cost::RUNNING_ENERGY,
];

/// Every equation of the air side.
pub fn air_equations() -> &'static [&'static Equation] {
    &EQUATIONS
}
