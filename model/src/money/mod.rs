//! Exact money: amounts in minor units of a currency, named rounding.
//!
//! All arithmetic is that of whole numbers. Nothing here uses a floating-point number, converts between currencies, or
//! wraps: what does not fit is an error.

mod currency;
mod number;

pub use crate::terms::Rounding;
pub use currency::Currency;
pub use number::decimal;
pub use rust_decimal::Decimal;

use crate::error::{Error, Result};

/// An amount of money. Two amounts of different currencies are never added.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Money {
    /// Whole minor units (such as cents).
    pub minor: i64,
    /// Currency.
    pub currency: Currency,
}

impl Money {
    /// Nothing, in this currency.
    pub fn zero(currency: Currency) -> Self {
        Self { minor: 0, currency }
    }

    /// Reads an amount such as `1234.50`, with no more decimals than the currency has. The currency stands apart.
    ///
    /// # Errors
    /// As [`decimal`], and where a currency has fewer decimals; no place is named.
    pub fn parse(text: &str, currency: Currency) -> Result<Self> {
        let number = decimal(text, currency.decimals()).map_err(|error| match error.key {
            "error-number-decimals" => Error { key: "error-money-decimals", ..error }.with("currency", currency),
            "error-number-whole" => Error { key: "error-money-whole", ..error }.with("currency", currency),
            _ => error,
        })?;
        Self::times(Decimal::ONE, number, currency, Rounding::HalfEven)
    }

    /// Quantity × price of one, the price in whole units of the currency, rounded to minor units.
    ///
    /// # Errors
    /// More than 64 bits hold.
    pub fn times(quantity: Decimal, each: Decimal, currency: Currency, rounding: Rounding) -> Result<Self> {
        let product = quantity.mantissa().checked_mul(each.mantissa());
        let places = quantity.scale() + each.scale();
        Self::rounded(product, places, currency, rounding)
    }

    /// That many percent of the amount, rounded to minor units.
    ///
    /// # Errors
    /// More than 64 bits hold.
    pub fn percent(self, percent: Decimal, rounding: Rounding) -> Result<Self> {
        let product = i128::from(self.minor).checked_mul(percent.mantissa());
        Self::rounded(product, percent.scale() + 2 + u32::from(self.currency.decimals()), self.currency, rounding)
    }

    /// `number` / 10^`places` whole units of the currency.
    fn rounded(number: Option<i128>, places: u32, currency: Currency, rounding: Rounding) -> Result<Self> {
        let decimals = u32::from(currency.decimals());
        let minor = number.and_then(|number| match places.checked_sub(decimals) {
            Some(extra) => Some(divide(number, power_of_ten(extra)?, rounding)),
            None => number.checked_mul(power_of_ten(decimals - places)?),
        });
        let minor = minor.and_then(|minor| i64::try_from(minor).ok());
        minor.map(|minor| Self { minor, currency }).ok_or_else(large)
    }

    /// The sum.
    ///
    /// # Errors
    /// Different currencies; more than 64 bits hold.
    pub fn plus(self, other: Self) -> Result<Self> {
        self.with(other, i64::checked_add)
    }

    /// The difference.
    ///
    /// # Errors
    /// As [`Money::plus`].
    pub fn minus(self, other: Self) -> Result<Self> {
        self.with(other, i64::checked_sub)
    }

    fn with(self, other: Self, combine: fn(i64, i64) -> Option<i64>) -> Result<Self> {
        if self.currency != other.currency {
            let error = Error::new("error-money-currencies", "");
            return Err(error.with("one", self.currency).with("other", other.currency));
        }
        combine(self.minor, other.minor).map(|minor| Self { minor, ..self }).ok_or_else(large)
    }

    /// The amount without its currency: `1234.50`.
    pub fn amount(self) -> String {
        number::digits(self.minor, self.currency.decimals())
    }

    /// The amount as an exact number of whole units of the currency.
    pub fn decimal(self) -> Decimal {
        Decimal::new(self.minor, u32::from(self.currency.decimals()))
    }
}

impl std::fmt::Display for Money {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.amount(), self.currency)
    }
}

/// The powers of ten that fit into 128 bits.
const POWERS_OF_TEN: [i128; 39] = {
    let mut powers = [1; 39];
    let mut at = 1;
    while at < powers.len() {
        powers[at] = powers[at - 1] * 10;
        at += 1;
    }
    powers
};

/// That power of ten, if it fits into 128 bits.
fn power_of_ten(power: u32) -> Option<i128> {
    POWERS_OF_TEN.get(power as usize).copied()
}

/// 10 to the power of the scale of a decimal number, 0 to 28.
///
/// # Panics
/// Above 38, where it does not fit.
pub fn ten_to(scale: u32) -> i128 {
    POWERS_OF_TEN[scale as usize]
}

fn large() -> Error {
    Error::new("error-money-large", "")
}

/// `number` / `by`, rounded to a whole number. `by` is above zero.
pub fn divide(number: i128, by: i128, rounding: Rounding) -> i128 {
    let (whole, rest) = match (i64::try_from(number), i64::try_from(by)) {
        // The usual case; processors divide 64 bits many times faster.
        (Ok(number), Ok(by)) => (i128::from(number / by), u128::from((number % by).unsigned_abs())),
        _ => (number / by, (number % by).unsigned_abs()),
    };
    // Compares twice the rest with the divisor without doubling it.
    let half = rest.cmp(&(by.unsigned_abs() - rest));
    let away = match rounding {
        Rounding::Down => false,
        Rounding::Up => rest > 0,
        Rounding::HalfUp => half.is_ge(),
        Rounding::HalfDown => half.is_gt(),
        Rounding::HalfEven => half.is_gt() || (half.is_eq() && whole % 2 != 0),
    };
    if away { whole + number.signum() } else { whole }
}
