//! This tablet's and this shop's settings. Kept on the device in both stores, never part of a job.
//!
//! Every change raises the sequence number; of two texts the one with the greater number is the truth. A value that
//! cannot be read costs that setting alone.

use serde::{Deserialize, Serialize};

/// Key under which the settings are kept, in either store.
pub(super) const KEY: &str = "cutline-settings";

/// How the app looks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Look {
    /// As the device is set.
    #[default]
    Auto,
    /// Dark on light.
    Light,
    /// Light on dark.
    Dark,
    /// For bright sun: dark ink on a light ground, nothing grey, no coloured text.
    Sun,
}

/// Units of length on screen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Units {
    /// Millimetres.
    #[default]
    Metric,
    /// Inches.
    Imperial,
}

/// The hand that taps.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hand {
    /// Left.
    Left,
    /// Right.
    #[default]
    Right,
}

/// All settings. A setting that an older program did not know takes its default.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// When they were last changed: ms since 1970, and always more than before; 0 where nobody ever changed them.
    pub sequence: u64,
    /// Look.
    pub look: Look,
    /// Larger targets for gloves.
    pub gloves: bool,
    /// Units.
    pub units: Units,
    /// Hand.
    pub hand: Hand,
    /// The shop may weld aluminium: equipment and a qualified welder.
    pub aluminium_welding: bool,
    /// The shop has a clean aluminium bay with its own tools and extraction.
    pub aluminium_bay: bool,
    /// Keep the camera's own file of each photo too, with the place and the device that stand in it.
    pub keep_camera_file: bool,
    /// The shop's own rule book as it was loaded, or empty; [`crate::rule_book`] reads it.
    pub rule_book: String,
    /// The shop's own rates, or empty; [`crate::charges`] reads them, as it does the price list.
    pub rates: String,
    /// The shop's own price list as CSV, or empty.
    pub price_list: String,
    /// Name of the file that the price list came in.
    pub price_file: String,
    /// What the shop changed in the time book, or empty; [`crate::time_book`] reads it.
    pub time_book: String,
    /// The shop's own joining list as it was loaded, or empty; [`crate::joining`] reads it.
    pub joining: String,
    /// When the last backup was made, ms since 1970; 0 where none was.
    pub last_backup_ms: u64,
    /// Days after which a backup is reminded of; 0 for never.
    pub backup_days: u32,
    /// Minutes without use after which a tablet with a passphrase locks; 0 for never.
    pub lock_minutes: u32,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            sequence: 0,
            look: Look::Auto,
            gloves: false,
            units: Units::Metric,
            hand: Hand::Right,
            aluminium_welding: true,
            aluminium_bay: true,
            keep_camera_file: false,
            rule_book: String::new(),
            rates: String::new(),
            price_list: String::new(),
            price_file: String::new(),
            time_book: String::new(),
            joining: String::new(),
            last_backup_ms: 0,
            backup_days: 7,
            lock_minutes: 10,
        }
    }
}

impl Settings {
    /// Reads saved settings of any version; a setting that cannot be read is as never set. `None` where the text as a
    /// whole is no settings.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let all: serde_json::Map<String, serde_json::Value> = serde_json::from_str(text).ok()?;
        let mut settings: Self = serde_json::from_str(text).unwrap_or_else(|_| salvage(all));
        // The first versions had no sequence number; what was kept then is older than any change since.
        settings.sequence = settings.sequence.max(1);
        Some(settings)
    }
    /// The text to save.
    pub(super) fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default() // a struct of words and yes-or-no always has a text
    }
}

/// The settings without those that cannot be read.
fn salvage(all: serde_json::Map<String, serde_json::Value>) -> Settings {
    let reads = |name: &String, value: &serde_json::Value| {
        let alone = serde_json::Map::from_iter([(name.clone(), value.clone())]);
        serde_json::from_value::<Settings>(alone.into()).is_ok()
    };
    let good = all.into_iter().filter(|(name, value)| reads(name, value)).collect::<serde_json::Map<_, _>>();
    serde_json::from_value(good.into()).unwrap_or_default()
}
