//! The units that the trade meets, by their UCUM codes, with exact factors. `[ucum2024]`

use super::fraction::Fraction;

/// What a unit measures: only units of one kind convert into each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// Mass, in kg.
    Mass,
    /// Volume, in m³.
    Volume,
    /// Length, in m.
    Length,
    /// Area, in m².
    Area,
    /// Time, in s.
    Time,
    /// Temperature, in K.
    Temperature,
    /// Force, in N.
    Force,
    /// Pressure, in Pa.
    Pressure,
    /// Energy, in J.
    Energy,
    /// Power, in W.
    Power,
    /// Energy by mass, in J/kg.
    SpecificEnergy,
    /// Heat capacity by mass, in J/(kg K).
    SpecificHeat,
    /// Mass by time, in kg/s.
    MassFlow,
    /// Volume by time, in m³/s.
    VolumeFlow,
    /// Mass by volume: density and concentration, in kg/m³.
    MassByVolume,
    /// Amount of substance by volume, in mol/m³.
    AmountByVolume,
    /// Electrical conductivity, in S/m.
    Conductivity,
    /// Dynamic viscosity, in Pa s.
    Viscosity,
    /// A pure number: shares and ratios.
    Number,
}

impl Dimension {
    /// UCUM code of the unit that the factors count.
    #[must_use]
    pub const fn base_unit(self) -> &'static str {
        match self {
            Self::Mass => "kg",
            Self::Volume => "m3",
            Self::Length => "m",
            Self::Area => "m2",
            Self::Time => "s",
            Self::Temperature => "K",
            Self::Force => "N",
            Self::Pressure => "Pa",
            Self::Energy => "J",
            Self::Power => "W",
            Self::SpecificEnergy => "J/kg",
            Self::SpecificHeat => "J/(kg.K)",
            Self::MassFlow => "kg/s",
            Self::VolumeFlow => "m3/s",
            Self::MassByVolume => "kg/m3",
            Self::AmountByVolume => "mol/m3",
            Self::Conductivity => "S/m",
            Self::Viscosity => "Pa.s",
            Self::Number => "1",
        }
    }
}

/// A unit: `base = scale x + offset`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unit {
    /// UCUM code; capitals count.
    pub code: &'static str,
    /// Name in English.
    pub name: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Base units in one of it.
    pub scale: Fraction,
    /// Where its zero lies, in base units; for temperatures.
    pub offset: Fraction,
}

const fn ratio(numerator: i128, denominator: i128) -> Fraction {
    Fraction::new(numerator, denominator)
}

const fn whole(number: i128) -> Fraction {
    Fraction::whole(number)
}

/// International avoirdupois pound, 7000 grains of 64.79891 mg, in kg.
const POUND: Fraction = ratio(45_359_237, 100_000_000);
/// International inch, in m.
const INCH: Fraction = ratio(254, 10_000);
/// Square of the inch, in m².
const SQUARE_INCH: Fraction = INCH.times(INCH);
/// Cube of the inch, in m³.
const CUBIC_INCH: Fraction = SQUARE_INCH.times(INCH);
/// Standard acceleration of free fall, in m/s².
const FREE_FALL: Fraction = ratio(980_665, 100_000);
/// Pound-force, in N.
const POUND_FORCE: Fraction = POUND.times(FREE_FALL);
/// Litre, in m³.
const LITRE: Fraction = ratio(1, 1_000);
/// US liquid gallon, 231 cubic inches, in m³.
const US_GALLON: Fraction = whole(231).times(CUBIC_INCH);
/// US fluid ounce, in m³.
const US_FLUID_OUNCE: Fraction = US_GALLON.over(whole(128));
/// Imperial gallon, in m³.
const IMPERIAL_GALLON: Fraction = ratio(454_609, 100_000).times(LITRE);
/// Metre of mercury as UCUM has it, in Pa; the conventional one is 3 millionths more.
const METRE_OF_MERCURY: Fraction = whole(133_322);
/// Metre of water, in Pa.
const METRE_OF_WATER: Fraction = ratio(980_665, 100);
/// Thermochemical calorie, in J.
const CALORIE: Fraction = ratio(4_184, 1_000);
/// British thermal unit of the international table, in J.
const BTU_IT: Fraction = ratio(105_505_585_262, 100_000_000);

/// Rows of the table: code, name, dimension, scale, and perhaps offset.
macro_rules! units {
    ($($dimension:ident { $($code:literal $name:literal $scale:expr $(, $offset:expr)?;)* })*) => {
        /// All units, by dimension.
        pub static UNITS: &[Unit] = &[$($(Unit {
            code: $code,
            name: $name,
            dimension: Dimension::$dimension,
            scale: $scale,
            offset: units!(@offset $($offset)?),
        },)*)*];
    };
    (@offset) => { Fraction::ZERO };
    (@offset $offset:expr) => { $offset };
}

units! {
    Mass {
        "kg" "kilogram" whole(1);
        "g" "gram" ratio(1, 1_000);
        "mg" "milligram" ratio(1, 1_000_000);
        "ug" "microgram" ratio(1, 1_000_000_000);
        "t" "tonne" whole(1_000);
        "[gr]" "grain" POUND.over(whole(7_000));
        "[oz_av]" "ounce, avoirdupois" POUND.over(whole(16));
        "[lb_av]" "pound, avoirdupois" POUND;
    }
    Volume {
        "m3" "cubic metre" whole(1);
        "L" "litre" LITRE;
        "dL" "decilitre" ratio(1, 10_000);
        "cL" "centilitre" ratio(1, 100_000);
        "mL" "millilitre" ratio(1, 1_000_000);
        "uL" "microlitre" ratio(1, 1_000_000_000);
        "cm3" "cubic centimetre" ratio(1, 1_000_000);
        "mm3" "cubic millimetre" ratio(1, 1_000_000_000);
        "[cin_i]" "cubic inch" CUBIC_INCH;
        "[gal_us]" "gallon, US liquid" US_GALLON;
        "[qt_us]" "quart, US liquid" US_GALLON.over(whole(4));
        "[pt_us]" "pint, US liquid" US_GALLON.over(whole(8));
        "[cup_us]" "cup, US" US_FLUID_OUNCE.times(whole(8));
        "[foz_us]" "fluid ounce, US" US_FLUID_OUNCE;
        "[tbs_us]" "tablespoon, US" US_FLUID_OUNCE.over(whole(2));
        "[tsp_us]" "teaspoon, US" US_FLUID_OUNCE.over(whole(6));
        "[cup_m]" "cup, metric, of 240 mL" ratio(240, 1_000_000);
        "[tbs_m]" "tablespoon, metric" ratio(15, 1_000_000);
        "[tsp_m]" "teaspoon, metric" ratio(5, 1_000_000);
        "[gal_br]" "gallon, imperial" IMPERIAL_GALLON;
        "[qt_br]" "quart, imperial" IMPERIAL_GALLON.over(whole(4));
        "[pt_br]" "pint, imperial" IMPERIAL_GALLON.over(whole(8));
        "[foz_br]" "fluid ounce, imperial" IMPERIAL_GALLON.over(whole(160));
    }
    Length {
        "m" "metre" whole(1);
        "km" "kilometre" whole(1_000);
        "cm" "centimetre" ratio(1, 100);
        "mm" "millimetre" ratio(1, 1_000);
        "um" "micrometre" ratio(1, 1_000_000);
        "[in_i]" "inch" INCH;
        "[ft_i]" "foot" INCH.times(whole(12));
    }
    Area {
        "m2" "square metre" whole(1);
        "cm2" "square centimetre" ratio(1, 10_000);
        "mm2" "square millimetre" ratio(1, 1_000_000);
        "[sin_i]" "square inch" SQUARE_INCH;
    }
    Time {
        "s" "second" whole(1);
        "ms" "millisecond" ratio(1, 1_000);
        "min" "minute" whole(60);
        "h" "hour" whole(3_600);
        "d" "day" whole(86_400);
    }
    Temperature {
        "K" "kelvin" whole(1);
        "Cel" "degree Celsius" whole(1), ratio(27_315, 100);
        "[degF]" "degree Fahrenheit" ratio(5, 9), ratio(45_967, 180);
        "[degR]" "degree Rankine" ratio(5, 9);
    }
    Force {
        "N" "newton" whole(1);
        "kgf" "kilogram-force" FREE_FALL;
        "[lbf_av]" "pound-force" POUND_FORCE;
    }
    Pressure {
        "Pa" "pascal" whole(1);
        "hPa" "hectopascal" whole(100);
        "kPa" "kilopascal" whole(1_000);
        "MPa" "megapascal" whole(1_000_000);
        "bar" "bar" whole(100_000);
        "mbar" "millibar" whole(100);
        "atm" "standard atmosphere" whole(101_325);
        "att" "technical atmosphere" FREE_FALL.times(whole(10_000));
        "[psi]" "pound per square inch" POUND_FORCE.over(SQUARE_INCH);
        "m[H2O]" "metre of water" METRE_OF_WATER;
        "cm[H2O]" "centimetre of water" METRE_OF_WATER.over(whole(100));
        "[in_i'H2O]" "inch of water" METRE_OF_WATER.times(INCH);
        "mm[Hg]" "millimetre of mercury" METRE_OF_MERCURY.over(whole(1_000));
        "[in_i'Hg]" "inch of mercury" METRE_OF_MERCURY.times(INCH);
    }
    Energy {
        "J" "joule" whole(1);
        "kJ" "kilojoule" whole(1_000);
        "MJ" "megajoule" whole(1_000_000);
        "W.h" "watt-hour" whole(3_600);
        "kW.h" "kilowatt-hour" whole(3_600_000);
        "cal" "calorie, thermochemical" CALORIE;
        "kcal" "kilocalorie, thermochemical" CALORIE.times(whole(1_000));
        "cal_IT" "calorie, international table" ratio(41_868, 10_000);
        "[Btu_IT]" "British thermal unit, international table" BTU_IT;
    }
    Power {
        "W" "watt" whole(1);
        "kW" "kilowatt" whole(1_000);
        "kJ/s" "kilojoule per second" whole(1_000);
        "[Btu_IT]/h" "British thermal unit, international table, per hour" BTU_IT.over(whole(3_600));
        "[HP]" "horsepower of 550 foot pounds-force per second"
            whole(550).times(INCH.times(whole(12))).times(POUND_FORCE);
    }
    SpecificEnergy {
        "J/kg" "joule per kilogram" whole(1);
        "kJ/kg" "kilojoule per kilogram" whole(1_000);
        "J/g" "joule per gram" whole(1_000);
        "cal/g" "calorie, thermochemical, per gram" CALORIE.times(whole(1_000));
        "[Btu_IT]/[lb_av]" "British thermal unit, international table, per pound" BTU_IT.over(POUND);
    }
    SpecificHeat {
        "J/(kg.K)" "joule per kilogram and kelvin" whole(1);
        "kJ/(kg.K)" "kilojoule per kilogram and kelvin" whole(1_000);
        "J/(g.K)" "joule per gram and kelvin" whole(1_000);
        "cal/(g.K)" "calorie, thermochemical, per gram and kelvin" CALORIE.times(whole(1_000));
    }
    MassFlow {
        "kg/s" "kilogram per second" whole(1);
        "kg/h" "kilogram per hour" ratio(1, 3_600);
        "g/s" "gram per second" ratio(1, 1_000);
        "g/min" "gram per minute" ratio(1, 60_000);
        "[oz_av]/s" "ounce, avoirdupois, per second" POUND.over(whole(16));
    }
    VolumeFlow {
        "m3/s" "cubic metre per second" whole(1);
        "m3/h" "cubic metre per hour" ratio(1, 3_600);
        "L/s" "litre per second" LITRE;
        "L/min" "litre per minute" LITRE.over(whole(60));
        "L/h" "litre per hour" LITRE.over(whole(3_600));
        "mL/s" "millilitre per second" ratio(1, 1_000_000);
        "mL/min" "millilitre per minute" ratio(1, 60_000_000);
        "[gal_us]/min" "gallon, US liquid, per minute" US_GALLON.over(whole(60));
        "[gal_br]/min" "gallon, imperial, per minute" IMPERIAL_GALLON.over(whole(60));
        "[foz_us]/s" "fluid ounce, US, per second" US_FLUID_OUNCE;
    }
    MassByVolume {
        "kg/m3" "kilogram per cubic metre" whole(1);
        "g/mL" "gram per millilitre" whole(1_000);
        "g/cm3" "gram per cubic centimetre" whole(1_000);
        "kg/L" "kilogram per litre" whole(1_000);
        "g/L" "gram per litre" whole(1);
        "g/dL" "gram per decilitre" whole(10);
        "mg/mL" "milligram per millilitre" whole(1);
        "mg/L" "milligram per litre" ratio(1, 1_000);
        "ug/L" "microgram per litre" ratio(1, 1_000_000);
        "[gr]/[gal_us]" "grain per US liquid gallon" POUND.over(whole(7_000)).over(US_GALLON);
        "[gr]/[gal_br]" "grain per imperial gallon" POUND.over(whole(7_000)).over(IMPERIAL_GALLON);
        "[lb_av]/[gal_us]" "pound per US liquid gallon" POUND.over(US_GALLON);
    }
    AmountByVolume {
        "mol/m3" "mole per cubic metre" whole(1);
        "mol/L" "mole per litre" whole(1_000);
        "mmol/L" "millimole per litre" whole(1);
        "umol/L" "micromole per litre" ratio(1, 1_000);
    }
    Conductivity {
        "S/m" "siemens per metre" whole(1);
        "mS/m" "millisiemens per metre" ratio(1, 1_000);
        "mS/cm" "millisiemens per centimetre" ratio(1, 10);
        "uS/cm" "microsiemens per centimetre" ratio(1, 10_000);
    }
    Viscosity {
        "Pa.s" "pascal second" whole(1);
        "mPa.s" "millipascal second" ratio(1, 1_000);
        "P" "poise" ratio(1, 10);
        "cP" "centipoise" ratio(1, 1_000);
    }
    Number {
        "1" "one" whole(1);
        "%" "percent" ratio(1, 100);
        "[ppth]" "part per thousand" ratio(1, 1_000);
        "[ppm]" "part per million" ratio(1, 1_000_000);
        "[ppb]" "part per billion of 10⁹" ratio(1, 1_000_000_000);
        "g/g" "gram per gram" whole(1);
        "g/kg" "gram per kilogram" ratio(1, 1_000);
        "mg/kg" "milligram per kilogram" ratio(1, 1_000_000);
    }
}

/// The unit of a code, capitals and all.
///
/// # Equation
/// None: a row of [`UNITS`].
///
/// # Source
/// `[ucum2024]`.
///
/// # Valid for
/// The codes of the table.
///
/// # Example
/// ```
/// # use extraction_maths::maths::units::table::unit;
/// assert_eq!(unit("[lb_av]").map(|unit| unit.name), Some("pound, avoirdupois"));
/// assert!(unit("KG").is_none());
/// ```
#[must_use]
pub fn unit(code: &str) -> Option<&'static Unit> {
    UNITS.iter().find(|unit| unit.code == code)
}
