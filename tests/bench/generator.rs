//! Makes a catalog of any size: parts and packages like those people write, all different.

use std::fmt::Write as _;

/// A sound catalog of at least `bytes` bytes, the same for the same number.
pub fn catalog(bytes: usize) -> String {
    let mut text = String::with_capacity(bytes + 4096);
    text.push_str("[catalog]\nformat = 1\ntitle = \"Generated list\"\n\n[site]\naltitude = \"120 m\"\ntariff = \"0.21 USD/kWh\"\n");
    let mut number = 0u64;
    while text.len() < bytes {
        number += 1;
        entry(&mut text, number);
    }
    text
}

/// A sound catalog of so many packages, `each` in a file of their own beside its head.
pub fn files(packages: usize, each: usize) -> Vec<(String, String)> {
    let mut files = vec![("list/catalog.toml".to_string(), catalog(0))];
    for first in (1..=packages).step_by(each) {
        let mut text = String::new();
        for number in first..(first + each).min(packages + 1) {
            entry(&mut text, number as u64);
        }
        files.push((format!("list/packages/{first:05}.toml"), text));
    }
    files
}

/// A family of parts and the package made of it; figures vary with `n`.
fn entry(text: &mut String, n: u64) {
    let vary = |from: u64, span: u64| from + (n * 2_654_435_761) % span;
    let flow = vary(60, 30);
    let depth = 1.0 + (n % 7) as f64 / 10.0;
    let written = write!(
        text,
        r#"
[compressor.linear-{n}]
technology = "linear-diaphragm"
title = "Linear compressor number {n}"
sku = "OM-C-{n}"
voltage = "230 V"
frequency = "50 Hz"
power = {{ is = "{power} W", at = "15 kPa" }}
curve = [
  {{ pressure = "0 kPa", flow = "{flow} L/min" }},
  {{ pressure = "10 kPa", flow = "{flow10} L/min" }},
  {{ pressure = "20 kPa", flow = "{flow20} L/min" }},
  {{ pressure = "32 kPa", flow = "0 L/min" }},
]
max_pressure = "24 kPa"
sound = {{ is = "38 dB(A)", at = "1 m" }}
inlet_filter = true
outlet = "1/2 in barb"

[diffuser.tube-{n}]
flow = "8 to 45 L/min"
loss = [
  {{ flow = "10 L/min", pressure = "2.1 kPa" }},
  {{ flow = "40 L/min", pressure = "3.0 kPa" }},
]
bubble = "fine"
check_valve = true
mass = "2.4 kg"
volume = "1.1 L"
inlet = "1/2 in barb"

[airline.sinking-{n}]
size = "1/2 in"
bore = "12.7 mm"
outside = "22.5 mm"
mass_per_length = "0.42 kg/m"
self_sinking = true
max_pressure = "400 kPa"
max_temperature = "60 degC"

[manifold.two-way-{n}]
outlets = 2
valve = "ball"
outlet = "1/2 in barb"

[package.pair-{n}]
title = "Small-pond package number {n}"
sku = "OM-P-{n}"
compressor = {{ part = "linear-{n}", count = 1 }}
diffuser = {{ part = "tube-{n}", count = 2 }}
manifold = "two-way-{n}"

[package.pair-{n}.claim]
depth = "{depth:.1} m"
area = "{area} m2"
flow = {{ is = "{claimed} L/min", at = "{depth:.1} m" }}
running_cost = "7.50 USD/month"

[[package.pair-{n}.option]]
id = "with-airline"
airline = {{ part = "sinking-{n}", length = "{run} m", count = 2 }}

[[package.pair-{n}.option]]
id = "own-airline"
allows = [
  {{ size = "3/8 in", up_to = "12 m" }},
  {{ size = "1/2 in", up_to = "30 m" }},
]
"#,
        power = vary(36, 8),
        flow10 = flow * 8 / 10,
        flow20 = flow * 55 / 100,
        area = vary(150, 100),
        claimed = vary(24, 6),
        run = vary(15, 20),
    );
    // Writing to a string doesn't fail.
    debug_assert!(written.is_ok());
}
