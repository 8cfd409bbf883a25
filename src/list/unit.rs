//! Values of one unit in another.

use super::Unit;

impl Unit {
    /// A value in another unit of the same kind: lengths, and temperatures. None between kinds, and for degrees that may be an
    /// angle's.
    pub fn convert(self, value: f64, to: Unit) -> Option<f64> {
        if self == to {
            return Some(value);
        }
        match (self, to) {
            (Unit::C, Unit::F) => Some(value * 9.0 / 5.0 + 32.0),
            (Unit::F, Unit::C) => Some((value - 32.0) * 5.0 / 9.0),
            _ => Some(value * self.inches()? / to.inches()?),
        }
    }

    /// How many inches a unit of length has.
    fn inches(self) -> Option<f64> {
        Some(match self {
            Unit::In => 1.0,
            Unit::Ft => 12.0,
            Unit::Mm => 1.0 / 25.4,
            Unit::Cm => 1.0 / 2.54,
            Unit::M => 1000.0 / 25.4,
            _ => return None,
        })
    }
}
