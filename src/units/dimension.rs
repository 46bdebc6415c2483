//! What a written quantity is a quantity of.

/// What a quantity measures.
///
/// Finer than the dimensions of the SI, where the trade means different things by
/// the same dimension: a pressure above the air around and one above vacuum, air
/// counted by volume and by amount, a frequency and a turnover, a sound level with
/// and without A-weighting. The order is that of the printed unit table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// m.
    Length,
    /// m2.
    Area,
    /// m3.
    Volume,
    /// Pa above the air around; also a head, a loss, an opening pressure.
    GaugePressure,
    /// Pa above vacuum.
    AbsolutePressure,
    /// m3/s: free air at the compressor's inlet, or water.
    VolumeFlow,
    /// kg/s of dry air: a volume at stated reference conditions is an amount.
    AirAmount,
    /// kg/(s m2) of dry air on a pond's surface.
    AirAmountPerArea,
    /// W.
    Power,
    /// J.
    Energy,
    /// V.
    Voltage,
    /// A.
    Current,
    /// Hz.
    Frequency,
    /// kg.
    Mass,
    /// kg/m.
    MassPerLength,
    /// kg/s, of oxygen for instance.
    MassRate,
    /// K.
    Temperature,
    /// dB without a weighting: a reduction, or a level whose weighting is unsaid.
    SoundLevel,
    /// dB(A).
    WeightedSoundLevel,
    /// s.
    Time,
    /// 1/s, of turnovers or starts.
    PerTime,
    /// A plain ratio, written in percent.
    Share,
    /// 1/m: of oxygen transfer, for each metre of depth.
    SharePerLength,
    /// A currency's own unit.
    Money,
    /// Currency for each J.
    MoneyPerEnergy,
    /// Currency for each s.
    MoneyPerTime,
    /// Currency for each m.
    MoneyPerLength,
}

impl Dimension {
    /// All of them, in the order of the printed unit table.
    pub const ALL: [Dimension; 27] = [
        Dimension::Length,
        Dimension::Area,
        Dimension::Volume,
        Dimension::GaugePressure,
        Dimension::AbsolutePressure,
        Dimension::VolumeFlow,
        Dimension::AirAmount,
        Dimension::AirAmountPerArea,
        Dimension::Power,
        Dimension::Energy,
        Dimension::Voltage,
        Dimension::Current,
        Dimension::Frequency,
        Dimension::Mass,
        Dimension::MassPerLength,
        Dimension::MassRate,
        Dimension::Temperature,
        Dimension::SoundLevel,
        Dimension::WeightedSoundLevel,
        Dimension::Time,
        Dimension::PerTime,
        Dimension::Share,
        Dimension::SharePerLength,
        Dimension::Money,
        Dimension::MoneyPerEnergy,
        Dimension::MoneyPerTime,
        Dimension::MoneyPerLength,
    ];

    /// With its article, as it stands in a sentence: "here belongs *a length*".
    pub const fn words(self) -> &'static str {
        match self {
            Dimension::Length => "a length",
            Dimension::Area => "an area",
            Dimension::Volume => "a volume",
            Dimension::GaugePressure => "a pressure",
            Dimension::AbsolutePressure => "an absolute pressure",
            Dimension::VolumeFlow => "a volume flow",
            Dimension::AirAmount => "an air flow at reference conditions",
            Dimension::AirAmountPerArea => "an air flow for each area of pond",
            Dimension::Power => "a power",
            Dimension::Energy => "an energy",
            Dimension::Voltage => "a voltage",
            Dimension::Current => "a current",
            Dimension::Frequency => "a frequency",
            Dimension::Mass => "a mass",
            Dimension::MassPerLength => "a mass for each length",
            Dimension::MassRate => "a mass in a time",
            Dimension::Temperature => "a temperature",
            Dimension::SoundLevel => "a difference of sound levels, or a level without weighting",
            Dimension::WeightedSoundLevel => "an A-weighted sound level",
            Dimension::Time => "a time",
            Dimension::PerTime => "a number of times in a period",
            Dimension::Share => "a share in percent",
            Dimension::SharePerLength => "a share for each length",
            Dimension::Money => "a sum of money",
            Dimension::MoneyPerEnergy => "a price for energy",
            Dimension::MoneyPerTime => "a cost in a period",
            Dimension::MoneyPerLength => "a price for each length",
        }
    }

    /// The coherent unit its SI values are in; for money the currency is left out.
    pub const fn si_unit(self) -> &'static str {
        match self {
            Dimension::Length => "m",
            Dimension::Area => "m2",
            Dimension::Volume => "m3",
            Dimension::GaugePressure => "Pa",
            Dimension::AbsolutePressure => "Pa(abs)",
            Dimension::VolumeFlow => "m3/s",
            Dimension::AirAmount => "kg/s",
            Dimension::AirAmountPerArea => "kg/(s m2)",
            Dimension::Power => "W",
            Dimension::Energy => "J",
            Dimension::Voltage => "V",
            Dimension::Current => "A",
            Dimension::Frequency => "Hz",
            Dimension::Mass => "kg",
            Dimension::MassPerLength => "kg/m",
            Dimension::MassRate => "kg/s",
            Dimension::Temperature => "K",
            Dimension::SoundLevel => "dB",
            Dimension::WeightedSoundLevel => "dB(A)",
            Dimension::Time => "s",
            Dimension::PerTime => "1/s",
            Dimension::Share => "1",
            Dimension::SharePerLength => "1/m",
            Dimension::Money => "currency",
            Dimension::MoneyPerEnergy => "currency/J",
            Dimension::MoneyPerTime => "currency/s",
            Dimension::MoneyPerLength => "currency/m",
        }
    }

    /// What values of it anybody can mean, in the SI: far beyond all trade, and far from where a calculation
    /// runs out of numbers. Each bound is the order of something known, from memory.
    pub(super) const fn scale(self) -> Scale {
        match self {
            // A molecule; the way around the Earth, and its surface, and the water on it.
            Dimension::Length => Scale::both_ways(1e-9, 1e8),
            Dimension::Area => Scale::both_ways(1e-18, 1e15),
            Dimension::Volume => Scale::both_ways(1e-27, 1e19),
            // Far below what can be pumped off; the middle of the Earth.
            Dimension::GaugePressure | Dimension::AbsolutePressure => Scale::both_ways(1e-12, 1e12),
            // All rivers together.
            Dimension::VolumeFlow => Scale::both_ways(1e-18, 1e8),
            Dimension::AirAmount | Dimension::MassRate => Scale::both_ways(1e-18, 1e11),
            Dimension::AirAmountPerArea => Scale::both_ways(1e-18, 1e6),
            // All that mankind uses, and in a thousand years.
            Dimension::Power => Scale::both_ways(1e-12, 1e14),
            Dimension::Energy => Scale::both_ways(1e-12, 1e25),
            // A bolt of lightning.
            Dimension::Voltage => Scale::both_ways(1e-9, 1e10),
            Dimension::Current => Scale::both_ways(1e-12, 1e7),
            // Once in a million years; light.
            Dimension::Frequency | Dimension::PerTime => Scale::both_ways(1e-14, 1e15),
            // The Earth.
            Dimension::Mass => Scale::both_ways(1e-15, 1e25),
            Dimension::MassPerLength => Scale::both_ways(1e-15, 1e12),
            // Absolute zero; hotter than the middle of the Sun.
            Dimension::Temperature => Scale {
                finest: 0.0,
                lowest: 0.0,
                highest: 1e8,
            },
            Dimension::SoundLevel | Dimension::WeightedSoundLevel => Scale::both_ways(1e-6, 1e3),
            // A million years.
            Dimension::Time => Scale::both_ways(1e-12, 1e14),
            Dimension::Share | Dimension::SharePerLength => Scale::both_ways(1e-12, 1e9),
            // More than all there is, in a currency whose least note has six noughts.
            Dimension::Money
            | Dimension::MoneyPerEnergy
            | Dimension::MoneyPerTime
            | Dimension::MoneyPerLength => Scale::both_ways(1e-21, 1e21),
        }
    }

    /// Whether anybody can mean so much of it.
    pub(super) fn holds(self, si: f64) -> bool {
        let Scale {
            finest,
            lowest,
            highest,
        } = self.scale();
        si == 0.0 || (si >= lowest && si <= highest && si.abs() >= finest)
    }

    /// What values of it are read, as a message says it.
    pub fn extent(self) -> String {
        let (scale, unit) = (self.scale(), self.si_unit());
        let (lowest, highest) = (scale.lowest, scale.highest);
        match scale.finest {
            0.0 => format!("from {lowest:e} to {highest:e} {unit}"),
            finest => format!(
                "from {lowest:e} to {highest:e} {unit}, and either 0 or at least {finest:e} {unit} in size"
            ),
        }
    }

    /// Whether it counts money, and so needs a currency.
    pub const fn is_money(self) -> bool {
        matches!(
            self,
            Dimension::Money
                | Dimension::MoneyPerEnergy
                | Dimension::MoneyPerTime
                | Dimension::MoneyPerLength
        )
    }

    /// Whether a share of the value means anything: not for a temperature, whose
    /// nought is a convention, nor for a sound level, which is a logarithm.
    pub const fn has_shares(self) -> bool {
        !matches!(
            self,
            Dimension::Temperature | Dimension::SoundLevel | Dimension::WeightedSoundLevel
        )
    }
}

impl std::fmt::Display for Dimension {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.words())
    }
}

/// What values of a dimension are read, in the SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    /// Least size of a value that isn't 0.
    pub finest: f64,
    /// Least value.
    pub lowest: f64,
    /// Greatest value.
    pub highest: f64,
}

impl Scale {
    /// The same below 0 as above.
    const fn both_ways(finest: f64, greatest: f64) -> Scale {
        Scale {
            finest,
            lowest: -greatest,
            highest: greatest,
        }
    }
}

/// Several, as a sentence lists them: "a pressure, a length or a time".
pub fn either(dimensions: &[Dimension]) -> String {
    match dimensions {
        [] => "a quantity".to_owned(),
        [one] => one.words().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(|d| d.words()).collect();
            format!("{} or {last}", first.join(", "))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_stand_once_and_in_order() {
        assert!(Dimension::ALL.windows(2).all(|pair| pair[0] < pair[1]));
        assert_eq!(
            Dimension::ALL.len(),
            Dimension::MoneyPerLength as usize + 1,
            "the last one closes the list"
        );
    }

    #[test]
    fn lists_read_as_a_sentence_does() {
        use Dimension::{GaugePressure, Length, Time};
        assert_eq!(either(&[]), "a quantity");
        assert_eq!(either(&[Length]), "a length");
        assert_eq!(
            either(&[GaugePressure, Length, Time]),
            "a pressure, a length or a time"
        );
    }
}
