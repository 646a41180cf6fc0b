//! The calculations, one file each: request, response, translation to the maths, examples.

/// Declares each file and its entry in the registry: adding a calculation is one line here.
macro_rules! calculations {
    ($($file:ident::$calculation:ident;)*) => {
        $(pub mod $file;)*

        static ENTRIES: [super::registry::Entry; [$(stringify!($file)),*].len()] =
            [$(super::registry::Entry::of::<$file::$calculation>(),)*];

        /// All calculations, in the order of the document.
        pub static REGISTRY: &[super::registry::Entry] = &ENTRIES;
    };
}

calculations! {
    ratio::Ratio;
    extraction_yield::ExtractionYield;
    targets::Targets;
    refractometry::Refractometry;
    oven_drying::OvenDrying;
    fractions::Fractions;
    water_temperature::WaterTemperature;
    basket_capacity::BasketCapacity;
    shot_simulation::ShotSimulation;
    stop_time::StopTime;
    dial_in::DialIn;
    steam_boiler::SteamBoiler;
    milk_steaming::MilkSteaming;
    slurry_temperature::SlurryTemperature;
    brewing_water::BrewingWater;
    water_blend::WaterBlend;
    water_dosing::WaterDosing;
    brew_comparison::BrewComparison;
    repeatability::RepeatabilityStudy;
    calibration_line::CalibrationLine;
    bean_supply::BeanSupply;
    unit_conversion::UnitConversion;
    recipes::Recipes;
    recipes_menu::RecipesMenu;
    recipe_transfer::RecipeTransfer;
    consistency::Consistency;
    diagnosis::Diagnosis;
    shot_readings::ShotReadings;
    exercises::Exercises;
    exercises_marking::ExercisesMarking;
    exercises_sheet::ExercisesSheet;
}
