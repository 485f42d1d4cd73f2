//! How near a plan comes to the shop's own limit of what a repair may cost, in words.
//!
//! Says how near; never that a vehicle should or should not be repaired.

use crate::money::{Decimal, Money, Rounding, divide};
use crate::words::{Language, say};

/// Percent points within which a plan counts as near the limit.
const NEAR: i64 = 10;

/// How a plan's cost stands to the value of the vehicle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worth {
    /// Key of the sentence.
    pub key: &'static str,
    /// The plan's cost as a share of the value, percent with one decimal; `None` where there is none to tell.
    pub percent: Option<Decimal>,
    /// Values for the sentence.
    pub arguments: Vec<(&'static str, String)>,
}

impl Worth {
    /// The sentence.
    pub fn words(&self) -> String {
        let arguments: Vec<(&str, &str)> = self.arguments.iter().map(|(name, value)| (*name, value.as_str())).collect();
        say(Language::English, self.key, &arguments)
    }
}

/// How a total with tax stands to the value of the vehicle, against the shop's threshold in percent of that value.
pub fn worth(total: Money, value: Option<Money>, threshold: Decimal) -> Worth {
    let limit = || ("threshold", threshold.normalize().to_string());
    let Some(value) = value else { return Worth { key: "worth-unknown", percent: None, arguments: vec![limit()] } };
    if value.currency != total.currency {
        let arguments = vec![("value", value.to_string()), ("total", total.to_string())];
        return Worth { key: "worth-currency", percent: None, arguments };
    }
    if value.minor <= 0 {
        return Worth { key: "worth-zero", percent: None, arguments: vec![limit()] };
    }
    // Shares are compared exactly; only what is shown is rounded. Threshold = mantissa / 10^scale percent.
    let (total_minor, value_minor) = (i128::from(total.minor), i128::from(value.minor));
    let allowed = threshold.mantissa().saturating_mul(value_minor);
    let scale = 10_i128.pow(threshold.scale() + 2);
    let spent = total_minor.saturating_mul(scale);
    let near = i128::from(NEAR) * value_minor * 10_i128.pow(threshold.scale());
    let tenths = divide(total_minor.saturating_mul(1_000), value_minor, Rounding::HalfEven);
    let percent = Decimal::new(i64::try_from(tenths).unwrap_or(i64::MAX), 1);
    let key = if total_minor > value_minor {
        if spent >= allowed { "worth-above-value" } else { "worth-above-value-below" }
    } else if spent >= allowed {
        "worth-above"
    } else if spent + near >= allowed {
        "worth-near"
    } else {
        "worth-below"
    };
    // Money between the plan and the limit.
    let between = divide((spent - allowed).abs(), scale, Rounding::HalfEven);
    let between = Money { minor: i64::try_from(between).unwrap_or(i64::MAX), ..total };
    let arguments = vec![
        limit(),
        ("percent", percent.normalize().to_string()),
        ("between", between.to_string()),
        ("value", value.to_string()),
    ];
    Worth { key, percent: Some(percent), arguments }
}
