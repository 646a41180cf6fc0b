//! The table of cautions: what to mind about an answer, each with a stable code that a caller
//! can translate.

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Water from which skin burns in minutes, and ever faster above, °C. `[scald-times]`
pub(crate) const SCALDS_FROM_C: f64 = 49.0;

/// How much a caution matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Good to know.
    Info,
    /// The number may not mean what it seems to.
    Notice,
    /// Somebody can get hurt.
    Hazard,
}

/// Declares the table of cautions: variant, code, severity, text.
macro_rules! cautions {
    ($($variant:ident, $code:literal, $severity:ident, $text:literal;)*) => {
        /// Stable code of a caution.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum CautionCode {
            $(#[doc = $text] $variant,)*
        }

        impl CautionCode {
            /// All cautions that an answer can carry.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The code as it stands in a body.
            #[must_use]
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $code,)* }
            }

            /// How much it matters.
            #[must_use]
            pub const fn severity(self) -> Severity {
                match self { $(Self::$variant => Severity::$severity,)* }
            }

            /// The text, in English.
            #[must_use]
            pub const fn text(self) -> &'static str {
                match self { $(Self::$variant => $text,)* }
            }
        }
    };
}

cautions! {
    HotWater, "hot_water", Hazard,
        "Water at brewing temperature scalds in seconds: keep people, and children most of all, away from the stream and the vessel, and follow local codes.";
    Superheated, "superheated", Hazard,
        "The water is hotter than the boiling point of the place: it flashes to steam the moment it meets the air. Only equipment built and serviced for that pressure by licensed people may hold it.";
    PressureVessel, "pressure_vessel", Hazard,
        "Water under pressure stores energy. Leave boilers, valves and seals to licensed service, and follow local codes.";
    Scald, "scald", Hazard,
        "Steam and the water it comes from burn at a touch, steam worst, since it gives up its latent heat on the skin: purge and vent away from people, and keep children away.";
    GaugeRisesWithAltitude, "gauge_rises_with_altitude", Info,
        "A gauge reads against the air around it: one temperature shows more bar the higher the place, and one reading is a lower temperature there.";
    AboveRatedPressure, "above_rated_pressure", Hazard,
        "The pressure is above the one that the boiler is rated for: do not run it there. Have it seen to by licensed service.";
    TrappedAir, "trapped_air", Notice,
        "Saturated steam is assumed. Air left in a boiler adds to the pressure, so the water is cooler than the gauge says.";
    LicensedService, "licensed_service", Notice,
        "This is information about steam and no advice on a setting: pressure switches and safety devices are adjusted and tested by licensed people only, under the local codes for pressure equipment.";
    Burn, "burn", Hazard,
        "Steam, the wand, the jug and the milk burn: purge the wand away from people, keep its tip under the surface while steam runs, and hold the jug by its handle.";
    VeryHotDrink, "very_hot_drink", Notice,
        "Above 65 °C a drink is very hot; drinking very hot beverages is classified as probably carcinogenic (IARC, group 2A). Let it cool before it is drunk.";
    ChildServing, "child_serving", Hazard,
        "Children burn faster and at lower temperatures than adults: serve them warm, never hot, and keep hot drinks out of their reach.";
    ColdHolding, "cold_holding", Notice,
        "Keep milk at 5 °C or below until it is steamed, or as cold as the local food code says, and do not use milk that stood warm.";
    DoNotResteam, "do_not_resteam", Notice,
        "Do not steam milk a second time: discard what is left in the jug, and clean jug and wand after each use.";
    Allergens, "allergens", Notice,
        "Milk is an allergen. Jug, wand and cloth carry it over to the next drink: tell who asks, and keep equipment apart where it matters.";
    LocalFoodCode, "local_food_code", Info,
        "Holding, heating and serving milk are ruled by the local food code, which comes before anything said here.";
    ServedHot, "served_hot", Hazard,
        "The drink is hot enough to scald when it is served: say so, hand it over by saucer or sleeve, let it cool before children come near it, and follow the local food code.";
    RecipeAllergens, "recipe_allergens", Notice,
        "Only allergens of the recipe itself are listed. Toppings, syrups, plant drinks and shared jugs, wands and cloths bring others: the local food code says what must be told to whoever asks.";
    SeaLevelAssumed, "sea_level_assumed", Info,
        "Neither an altitude nor a barometer was given: the place is taken to be at sea level. Higher up water boils cooler and steam gauges read higher.";
    MilkUnknown, "milk_unknown", Info,
        "Neither kind nor fat of the milk was given: its heat capacity is taken as 3.93 kJ/(kg K), and no volumes are answered.";
    HighAltitude, "high_altitude", Notice,
        "Above 5500 m the standard atmosphere is far from the weather of the day: measure the pressure at the place.";
    SeaLevelReduction, "sea_level_reduction", Notice,
        "A pressure reduced to sea level with temperature and humidity is uncertain above 750 m: a barometer at the place, or the altimeter setting, is better.";
    PressureFromAltitude, "pressure_from_altitude", Info,
        "The air pressure is that of the standard atmosphere; the weather moves it by some 10 hPa, and the boiling point by about 0.3 °C.";
    LooksLikeAFraction, "looks_like_a_fraction", Notice,
        "The strength is so small that it may be a fraction of one where percent is meant.";
    HighYield, "high_yield", Notice,
        "The yield is above 30 %, more than roasted coffee is known to give: check the dose, the beverage mass and the strength.";
    PracticeWindow, "practice_window", Info,
        "The window of this chart is common practice and no published standard; for espresso the 18 to 22 % is borrowed from filter brewing.";
    UnfilteredSample, "unfiltered_sample", Notice,
        "An unfiltered sample holds suspended solids, which a refractometer may count as dissolved.";
    UncertaintyIncomplete, "uncertainty_incomplete", Info,
        "The uncertainty holds only the inputs for which one was given; those left out are listed in `not_included`.";
    DegreesOfFreedomLost, "degrees_of_freedom_lost", Notice,
        "With correlated inputs the effective degrees of freedom are not known, so the coverage factor is that of the normal distribution: too small where few readings carry much of the uncertainty. Monte Carlo trials do without them.";
    TrialsUnsettled, "trials_unsettled", Notice,
        "The Monte Carlo results have not settled to two digits of the standard uncertainty: ask for more trials, or, where there are few readings, take more of them.";
    FirstOrderOff, "first_order_off", Notice,
        "The first-order interval differs from that of the Monte Carlo trials by more than its digits allow (JCGM 101, clause 8): use the interval of the trials.";
    ConversionDominates, "conversion_dominates", Notice,
        "Most of the uncertainty is that of the factor from the sugar scale to coffee solids, which is published between 0.79 and 0.86 and depends on the coffee: dry a sample in an oven to find your own.";
    TemperatureUnknown, "temperature_unknown", Notice,
        "No temperature was given: the reading counts as one at 20 °C. A degree more or less moves an uncorrected reading by about 0.07 % on the sugar scale.";
    BelowWater, "below_water", Notice,
        "The corrected reading is below that of water: check the zero with water, and the temperature.";
    RetainedSolids, "retained_solids", Notice,
        "The liquid held by spent grounds dries in them, and its solids count as not extracted: the yield comes out too low, most for immersion brews (by the strength times the liquid held per gram of dose). Give `tds_percent` to undo it.";
    MoistureUnknown, "moisture_unknown", Notice,
        "The moisture of the dose was not given and counts as none: a yield from spent grounds comes out too high by as much.";
    TotalSolids, "total_solids", Info,
        "Drying counts suspended solids with the dissolved ones: an unfiltered espresso has some 4 to 8 % more of them than a refractometer sees.";
    FactorUncertain, "factor_uncertain", Notice,
        "The factor from the sugar scale to coffee solids is published between 0.79 and 0.86 and depends on the coffee: strength and yield move with it, by some 4 % of themselves either way.";
    VolumeWithoutFoam, "volume_without_foam", Info,
        "The volume is that of the liquid: crema and foam take room beside it.";
    DiameterAlone, "diameter_alone", Notice,
        "Baskets of one diameter come in several depths: measure the depth, or read the dose stamped on the basket.";
    UnusualBedDepth, "unusual_bed_depth", Notice,
        "The tamped bed is deeper or shallower than is usual for espresso.";
    UnusualRatio, "unusual_ratio", Notice,
        "The ratio is far from what this kind of brew uses: check which mass is which.";
    UnvalidatedModel, "unvalidated_model", Notice,
        "The shot is simulated by a model whose solution is verified and whose agreement with real shots is not validated: read trends from it, and measure the cup.";
    FineGrind, "fine_grind", Notice,
        "At fine grinds real beds let water through unevenly and the yield falls; this model's yield keeps rising, so it is too high there.";
    ChangedParameters, "changed_parameters", Info,
        "Constants of the model were changed: its calibration holds for the defaults only.";
    BeyondTheShots, "beyond_the_shots", Notice,
        "The next setting lies outside of those tried, where a dial is least known: pull it, read it, and ask again before going further.";
    AnotherRecipe, "another_recipe", Info,
        "No shot was pulled by a recipe like the next one in dose, ratio, temperature, basket and profile: strength and yield are carried over by the model, and their intervals are widened for it.";
    LevelProbeLowMineral, "level_probe_low_mineral", Notice,
        "Very soft water conducts so little that a boiler's level probe may not see it, and the boiler may overfill or its heater run dry: ask the maker which conductivity the probe needs.";
    ChlorideCorrosion, "chloride_corrosion", Notice,
        "Chloride pits stainless steel, more so the hotter it is; published limits differ more than tenfold, so this is a warning and no verdict. Ask the maker of the machine.";
    Extrapolated, "extrapolated", Notice,
        "The solubility of calcite was fitted from 0 to 90 °C; at this temperature it is extrapolated.";
    PhWhenHeated, "ph_when_heated", Notice,
        "The pH is taken as measured: heated in a closed vessel it moves by some tenths, mostly downwards, and where carbon dioxide escapes it rises. Give `boiler_ph` when it is known.";
    CalciumFromHardness, "calcium_from_hardness", Notice,
        "Only the total hardness is known: all of it is taken as calcium, which makes scale and saturation an upper bound.";
    IonBalanceIncomplete, "ion_balance_incomplete", Info,
        "Ions that were not given count as absent, so the ion balance says little about the analysis.";
    IonBalanceOff, "ion_balance_off", Notice,
        "Cations and anions differ by more than a tenth of their sum, so something is missing or wrong in the analysis (common practice, no source).";
    TdsConvention, "tds_convention", Info,
        "Dissolved solids from conductivity rest on a convention: the factor used stands in the answer, and another meter may use another one.";
    TargetMissed, "target_missed", Notice,
        "The target cannot be met with what is allowed; what is missed is listed.";
    FoodGradeSalts, "food_grade_salts", Notice,
        "Use food-grade salts only, check the hydrate on the label, weigh to the milligram and dissolve wholly before use.";
    LabelConcentrates, "label_concentrates", Notice,
        "Label every concentrate with its content, strength, date and `not for drinking`, keep it from children, and keep calcium apart from bicarbonate, or they drop chalk.";
    FreshnessPractice, "freshness_practice", Info,
        "The days after the roast in which beans are used are common practice, with no standard behind them: they differ by roast, package and taste, and say nothing about food safety.";
    Resting, "resting", Notice,
        "The beans are younger than their window: they still give off much carbon dioxide, which makes shots uneven.";
    PastWindow, "past_window", Notice,
        "The beans are older than their window: expect a flatter cup, and taste before serving.";
    FrozenClock, "frozen_clock", Notice,
        "Frozen days are taken as no days at all, as the trade does: no factor for frozen coffee is published. Airtight portions, opened only when warm again.";
    OrderOutlivesWindow, "order_outlives_window", Notice,
        "The order is more than can be used between the first and the last day of the window: order less, more often.";
    LeftOverStock, "left_over_stock", Notice,
        "At this use, part of the coffee on hand will be older than its window before it is used.";
    NoSafetyStock, "no_safety_stock", Info,
        "No daily spread was given, so the reorder point is the mean use of the lead time: in about half of the cases it runs out before the order arrives.";
    OneOrderOnHand, "one_order_on_hand", Info,
        "The coffee on hand was not given: one whole order is taken to be there on the brew date.";
    GroundCoffeeEnergy, "ground_coffee_energy", Notice,
        "The activation energy was measured on roasted and ground coffee. Oxygen and moisture matter more than temperature, and whole beans and other packages differ.";
    OneGrainSize, "one_grain_size", Notice,
        "Grains of one size are assumed, and the published span of diffusivities is a factor of twenty: fines lose their gas far sooner.";
    TakenAsTemperature, "taken_as_temperature", Info,
        "The number was taken as a temperature: a difference of temperatures converts otherwise, and `quantity_kind` says so.";
    PressureKindKept, "pressure_kind_kept", Info,
        "A gauge pressure stays a gauge pressure and an absolute one absolute: between them lies the air pressure, which `from_pressure_kind` and `to_pressure_kind` ask for.";
    NetworkMustNotStop, "network_must_not_stop", Hazard,
        "A network must not stop a shot: hot water runs on when an answer is late or lost. Let the phone or the machine decide with `stop_rule`, keep a limit of time there, and a person at the machine.";
    DrainAssumed, "drain_assumed", Info,
        "No earlier shots were given: what comes after the stop is assumed, and may be off by half a gram or more. Send `history`.";
    ReadingsInDoubt, "readings_in_doubt", Notice,
        "Something was the matter with the readings of the scale; `faults` says what, and when. Look at the cup.";
    SideIons, "side_ions", Notice,
        "A salt brings a second ion beside the one wanted, and it lies above the limit or, for sodium, above the 10 mg/L at or near which a published brewing-water standard puts it.";
    FewShots, "few_shots", Notice,
        "There are fewer than twenty shots: limits, intervals and shares are rough (common practice, no source). Go on recording.";
    ConfoundedLabels, "confounded_labels", Notice,
        "Two labels always change together, so what they explain cannot be told apart: let the one vary without the other.";
    FaultyReadings, "faulty_readings", Notice,
        "The readings have faults: the numbers rest on what is left without them, and `faults` lists them.";
    ScaleEnded, "scale_ended", Notice,
        "The scale was at the end of its range while beverage still ran: the beverage mass is only what was seen.";
    EvennessIsNoVerdict, "evenness_is_no_verdict", Info,
        "Evenness is a statistic of the flow: it neither proves nor rules out that water ran unevenly through the bed.";
    EffectivePermeability, "effective_permeability", Info,
        "The permeability is worked out with the viscosity of water and the depth of an assumed wetted bed; a beverage is more viscous, so compare shots with it, and take it for no constant of the coffee.";
}

/// Something to mind about an answer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Caution {
    /// Stable code, for a caller who translates.
    pub code: CautionCode,
    /// How much it matters.
    pub severity: Severity,
    /// The text in English.
    pub text: Cow<'static, str>,
    /// Numbers of this case, by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub values: BTreeMap<Cow<'static, str>, f64>,
}

impl From<CautionCode> for Caution {
    fn from(code: CautionCode) -> Self {
        Self {
            code,
            severity: code.severity(),
            text: Cow::Borrowed(code.text()),
            values: BTreeMap::new(),
        }
    }
}

impl Caution {
    /// The same with a number of this case.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: f64) -> Self {
        self.values.insert(Cow::Borrowed(name), value);
        self
    }
}

/// An entry of `GET /v1/cautions`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct CautionEntry {
    /// Stable code.
    pub code: CautionCode,
    /// How much it matters.
    pub severity: Severity,
    /// The text in English.
    pub text: Cow<'static, str>,
}

/// All cautions, so that a caller can translate them.
#[must_use]
pub fn all() -> Vec<CautionEntry> {
    CautionCode::ALL
        .iter()
        .map(|code| CautionEntry {
            code: *code,
            severity: code.severity(),
            text: Cow::Borrowed(code.text()),
        })
        .collect()
}
