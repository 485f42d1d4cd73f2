//! Closed lists of trade words, each an enum with one spelling for files and one catalogue key.
//!
//! Only words and their spelling live here; what they mean for a repair is the rule book's business.

/// Declares an enum whose variants have exactly one written form, used in files and as the end of their message key.
macro_rules! terms {
    ($(#[$meta:meta])* $name:ident $prefix:literal { $($(#[$vmeta:meta])* $variant:ident => $word:literal),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[allow(missing_docs)] // the written form beside each variant is its documentation
        pub enum $name { $($(#[$vmeta])* $variant),+ }

        impl $name {
            /// Every value, in order.
            pub const ALL: &'static [$name] = &[$($name::$variant),+];
            /// The written form in files.
            pub fn word(self) -> &'static str { match self { $($name::$variant => $word),+ } }
            /// The key of its name in the message catalogue.
            pub fn key(self) -> &'static str { match self { $($name::$variant => concat!($prefix, "-", $word)),+ } }
            /// Reads the written form.
            pub fn from_word(word: &str) -> Option<Self> { match word { $($word => Some($name::$variant),)+ _ => None } }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result { f.write_str(self.word()) }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> { to.serialize_str(self.word()) }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                let text = <std::borrow::Cow<'de, str>>::deserialize(from)?;
                Self::from_word(&text).ok_or_else(|| serde::de::Error::unknown_variant(&text, &[$($word),+]))
            }
        }
    };
}

terms! {
    /// Side of the vehicle on which a part sits, seen from the driver looking forward.
    Side "side" { Left => "left", Right => "right", Centre => "centre" }
}
terms! {
    /// What must be peeled away to see a part.
    Layer "layer" { Skin => "skin", Structure => "structure", Frame => "frame" }
}
terms! {
    /// A direction of looking at the vehicle.
    View "view" { Left => "left", Right => "right", Front => "front", Rear => "rear", Top => "top", Underside => "underside" }
}
terms! {
    /// Cab of the body.
    Cab "cab" { TwoDoor => "two-door", Extended => "extended", FourDoor => "four-door" }
}
terms! {
    /// Bed of the body.
    Bed "bed" { Short => "short", Standard => "standard", Long => "long" }
}
terms! {
    /// What a part does in the body.
    Role "role" {
        BoltedOuter => "bolted-outer", BondedOuter => "bonded-outer", Closure => "closure", Structural => "structural",
        Frame => "frame", Glass => "glass", Trim => "trim", Mechanical => "mechanical",
    }
}
terms! {
    /// Material family of a part.
    Family "material" {
        Aluminium5xxxSheet => "aluminium-5xxx-sheet", Aluminium6xxxSheet => "aluminium-6xxx-sheet",
        Aluminium6xxxExtrusion => "aluminium-6xxx-extrusion", AluminiumCasting => "aluminium-casting",
        MildSteel => "mild-steel", HighStrengthSteel => "high-strength-steel",
        UltraHighStrengthSteel => "ultra-high-strength-steel", LaminatedSteel => "laminated-steel",
        Magnesium => "magnesium", Composite => "composite", Glass => "glass", Plastic => "plastic", Rubber => "rubber",
    }
}
terms! {
    /// The metal that matters for joining and isolation.
    Metal "metal" { Aluminium => "aluminium", Steel => "steel", Magnesium => "magnesium", Other => "other" }
}
terms! {
    /// How a part is made.
    Form "form" {
        Sheet => "sheet", Tube => "tube", Extrusion => "extrusion", Casting => "casting", Assembly => "assembly",
        Pane => "pane", Moulding => "moulding",
    }
}
terms! {
    /// Reach to the back of a panel.
    Behind "behind" { Open => "open", Covered => "covered", Closed => "closed" }
}
terms! {
    /// How the factory joins two parts.
    JointKind "joint" {
        SelfPiercingRivet => "self-piercing-rivet", FlowDrillScrew => "flow-drill-screw",
        StructuralBlindRivet => "structural-blind-rivet", SolidRivet => "solid-rivet", Adhesive => "adhesive",
        SpotWeld => "spot-weld", MigWeld => "mig-weld", Bolt => "bolt", Hem => "hem", Clip => "clip",
        BondedGlass => "bonded-glass",
    }
}
terms! {
    /// A way to join a section or a new part in the repair.
    Route "route" { RivetedBonded => "riveted-bonded", Welded => "welded", Bolted => "bolted", Hemmed => "hemmed", Bonded => "bonded" }
}
terms! {
    /// How the two ends meet at a cut line.
    Join "join" { Butt => "butt", Lap => "lap" }
}
terms! {
    /// Why no cut may run through an area.
    NoCutKind "no-cut" {
        Hinge => "hinge", Latch => "latch", BeltAnchor => "belt-anchor", BodyMount => "body-mount",
        SuspensionPoint => "suspension-point", SteeringPoint => "steering-point", LiftingPoint => "lifting-point",
        ReinforcementEnd => "reinforcement-end",
    }
}
terms! {
    /// Where damage to a part pushes next.
    Direction "direction" {
        Rearward => "rearward", Forward => "forward", Inward => "inward", Outward => "outward", Up => "up", Down => "down",
    }
}
terms! {
    /// What a mark records.
    MarkKind "mark" {
        Scratch => "scratch", Dent => "dent", Crease => "crease", Tear => "tear", Crack => "crack", Kink => "kink",
        Buckle => "buckle", HailField => "hail-field", Misfit => "misfit", Corrosion => "corrosion",
        Missing => "missing", EarlierRepair => "earlier-repair",
    }
}
terms! {
    /// How far damage goes through the paint.
    Coat "coat" { Whole => "whole", ClearOnly => "clear-only", ThroughColour => "through-colour", BareMetal => "bare-metal" }
}
terms! {
    /// Family of a paint's colour, by what makes neighbours of it look alike or not.
    ColourFamily "colour-family" { Solid => "solid", Metallic => "metallic", Pearl => "pearl" }
}
terms! {
    /// What may be decided for a part, from the least to the most intrusive; `refer` means: consult the maker's procedure first.
    Action "action" {
        Leave => "leave", Refinish => "refinish", Repair => "repair", Section => "section", Replace => "replace", Refer => "refer",
    }
}
terms! {
    /// Stage of the work; operations are ordered by stage.
    Stage "stage" {
        Secure => "secure", Measure => "measure", Strip => "strip", Cut => "cut", Straighten => "straighten", Fit => "fit",
        Join => "join", SealIsolate => "seal-and-isolate", Prepare => "prepare", Refinish => "refinish", Refit => "refit",
        Calibrate => "calibrate", Inspect => "inspect", RoadTest => "road-test",
    }
}
terms! {
    /// What kind of work an operation is; in alphabetical order. Its key says what is done.
    Work "operation" {
        Access => "access", Adjust => "adjust", BatteryOff => "battery-off", Blend => "blend",
        BondGlass => "bond-glass", CavityProtect => "cavity-protect", CleanBay => "clean-bay",
        CleanBaySetUp => "clean-bay-set-up", CoatProtect => "coat-protect", CorrosionTreat => "corrosion-treat",
        CrackCheck => "crack-check", CrackCheckBefore => "crack-check-before", CutSection => "cut-section",
        FinalInspection => "final-inspection", FitNew => "fit-new", FitPart => "fit-part",
        FitSection => "fit-section", FitSkin => "fit-skin", FoamOut => "foam-out", FoamRenew => "foam-renew",
        FrameMeasure => "frame-measure", GeometryAtFit => "geometry-at-fit", GeometryMeasure => "geometry-measure",
        GlassRepair => "glass-repair", HighVoltageOff => "high-voltage-off", Isolate => "isolate",
        JoinHem => "join-hem", JoinPart => "join-part", JoinPartBonded => "join-part-bonded",
        JoinPartWelded => "join-part-welded", JoinSection => "join-section",
        JoinSectionBonded => "join-section-bonded", JoinSectionWelded => "join-section-welded", LampAim => "lamp-aim",
        MakeReady => "make-ready", MakerConsult => "maker-consult", MeasurementReport => "measurement-report",
        Paintless => "paintless", PlasticRepair => "plastic-repair", Polish => "polish", Prepare => "prepare",
        RefinishPanel => "refinish-panel", RefinishSetUp => "refinish-set-up", Refit => "refit", Release => "release",
        ReplaceFlowDrillScrews => "replace-flow-drill-screws", RestraintInspection => "restraint-inspection",
        RestraintsSafe => "restraints-safe", RoadTest => "road-test", SensorCalibrate => "sensor-calibrate",
        SkinOff => "skin-off", Straighten => "straighten", StraightenCold => "straighten-cold", TakeOff => "take-off",
        WeldTear => "weld-tear", WheelAlignment => "wheel-alignment",
    }
}
terms! {
    /// A caution that stands at the operation to which it belongs.
    Caution "caution" {
        Restraints => "restraints", HighVoltage => "high-voltage", Fuel => "fuel", Glass => "glass", Lifting => "lifting",
        AluminiumDust => "aluminium-dust", Isocyanates => "isocyanates", Heat => "heat", WeldFume => "weld-fume",
        StoredEnergy => "stored-energy",
    }
}
terms! {
    /// What a rule stands on.
    BasisKind "basis" {
        PublishedSource => "published-source", MakersProcedure => "makers-procedure", ShopPolicy => "shop-policy",
        CommonPractice => "common-practice",
    }
}
terms! {
    /// What is known of the frame's shape.
    FrameState "frame-state" { NotMeasured => "not-measured", WithinTolerance => "within-tolerance", OutOfTolerance => "out-of-tolerance" }
}
terms! {
    /// What someone found when looking behind.
    Inspection "inspection" { NotYet => "not-yet", Sound => "sound", Damaged => "damaged" }
}

terms! {
    /// What the plan of a whole job aims at.
    Aim "aim" { Money => "money", Hours => "hours", Days => "days" }
}
terms! {
    /// Who does a piece of work; labour is priced by it.
    Skill "skill" {
        Body => "body", Structure => "structure", Welding => "welding", Refinish => "refinish",
        Mechanical => "mechanical", Electrical => "electrical", Measuring => "measuring", Glass => "glass",
    }
}
terms! {
    /// What work is counted in, besides its set-up.
    Unit "unit" {
        Bolt => "bolt", Connector => "connector", Clip => "clip", Fastener => "fastener", Dent => "dent", MetreCut => "metre-cut",
        MetreJoint => "metre-joint", SquareMetre => "square-metre",
    }
}
terms! {
    /// A wait during which the truck stands; each counts once in a job.
    Wait "wait" { AdhesiveCure => "adhesive-cure", GlassCure => "glass-cure", PaintDry => "paint-dry" }
}
impl Wait {
    /// Whether an adhesive of the shop's joining list says how long.
    pub fn is_cure(self) -> bool {
        matches!(self, Self::AdhesiveCure | Self::GlassCure)
    }
}
terms! {
    /// How an amount that falls between two minor units is rounded; `up` and `down` mean away from zero and towards it.
    Rounding "rounding" {
        HalfEven => "half-even", HalfUp => "half-up", HalfDown => "half-down", Up => "up", Down => "down",
    }
}
terms! {
    /// In what a material is counted and priced.
    Measure "measure" {
        Piece => "piece", Set => "set", Cartridge => "cartridge", Litre => "litre", Kilogram => "kilogram",
        Metre => "metre", SquareMetre => "square-metre",
    }
}
terms! {
    /// Where the vehicle lives, for the galvanic difference that index tables tolerate.
    Environment "environment" { Harsh => "harsh", Normal => "normal", Controlled => "controlled" }
}
terms! {
    /// What a sum of money is for; taxed by category.
    Category "category" {
        Parts => "parts", Labour => "labour", Materials => "materials", Sublet => "sublet", Storage => "storage",
    }
}

impl Family {
    /// The metal that counts for joining and isolation.
    pub fn metal(self) -> Metal {
        match self {
            Self::Aluminium5xxxSheet
            | Self::Aluminium6xxxSheet
            | Self::Aluminium6xxxExtrusion
            | Self::AluminiumCasting => Metal::Aluminium,
            Self::MildSteel | Self::HighStrengthSteel | Self::UltraHighStrengthSteel | Self::LaminatedSteel => {
                Metal::Steel
            }
            Self::Magnesium => Metal::Magnesium,
            Self::Composite | Self::Glass | Self::Plastic | Self::Rubber => Metal::Other,
        }
    }
}
