//! Supplies as a package names them: `115 V 60 Hz`, `24 V dc`, `400 V 50 Hz three-phase`.

use crate::text::Span;
use crate::units::{self, Dimension};

use super::model::{Current, Figure, Given, Supply};

/// Reads `VOLTS HERTZ [three-phase]` or `VOLTS dc`; `at` is where it stands.
pub fn read(text: &str, at: Span) -> Option<Supply> {
    let mut words: Vec<&str> = text.split_whitespace().collect();
    let stated = words.last().and_then(|last| Current::of(last));
    if stated.is_some() {
        words.pop();
    }
    let kind = stated.unwrap_or_default();
    let figure = |words: &[&str], dimension| {
        let reading = units::read(&words.join(" "), &[dimension]);
        let quantity = reading.quantity.filter(|_| reading.faults.is_empty())?;
        (quantity.si_low() > 0.0).then_some(Given::Known(Figure::bare(quantity, at)))
    };
    let end = words.iter().position(|word| *word == "V")? + 1;
    let voltage = figure(&words[..end], Dimension::Voltage)?;
    let frequency = match (kind, &words[end..]) {
        (Current::Direct, []) => Given::Absent,
        (Current::Direct, _) => return None,
        (_, hertz) => figure(hertz, Dimension::Frequency)?,
    };
    Some(Supply {
        at: Some(at),
        voltage,
        frequency,
        kind,
        ..Supply::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::FileId;

    fn read(text: &str) -> Option<(f64, Option<f64>, Current)> {
        let supply = super::read(text, Span::new(FileId(0), 0, 0))?;
        let si = |given: &Given<Figure>| given.known().map(Figure::si);
        Some((si(&supply.voltage)?, si(&supply.frequency), supply.kind))
    }

    #[test]
    fn volts_come_with_hertz_or_direct_current() {
        let ac = Current::Alternating;
        assert_eq!(read("115 V 60 Hz"), Some((115.0, Some(60.0), ac)));
        assert_eq!(read("230 V 50 Hz ac"), Some((230.0, Some(50.0), ac)));
        assert_eq!(read("220 to 240 V 50 Hz"), Some((230.0, Some(50.0), ac)));
        assert_eq!(
            read("400 V 50 Hz three-phase"),
            Some((400.0, Some(50.0), Current::ThreePhase))
        );
        assert_eq!(read("24 V dc"), Some((24.0, None, Current::Direct)));
        for wrong in [
            "",
            "115 V",
            "60 Hz",
            "115 60 Hz",
            "24 V 50 Hz dc",
            "0 V 50 Hz",
            "115 V 60 Hz please",
            "60 Hz 115 V",
        ] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }
}
