//! Currencies: every active code of ISO 4217 that has minor units, with how many decimals these are.
//!
//! Knows nothing of exchange rates and never converts.

use crate::error::{Error, Result};

/// Codes by number of decimals, each group sorted. ISO 4217, list one as published on 2026-01-01; a test holds it
/// against that list. Codes without minor units (metals, funds of accounts, test codes) are no money that a shop takes.
const CODES: [(u8, &str); 4] = [
    (0, "BIFCLPDJFGNFISKJPYKMFKRWPYGRWFUGXUYIVNDVUVXAFXOFXPF"),
    (
        2,
        "AEDAFNALLAMDAOAARSAUDAWGAZNBAMBBDBDTBMDBNDBOBBOVBRLBSDBTNBWPBYNBZDCADCDFCHECHFCHWCNYCOPCOUCRCCUPCVECZKDKKDOPDZD\
         EGPERNETBEURFJDFKPGBPGELGHSGIPGMDGTQGYDHKDHNLHTGHUFIDRILSINRIRRJMDKESKGSKHRKPWKYDKZTLAKLBPLKRLRDLSLMADMDLMGAMKD\
         MMKMNTMOPMRUMURMVRMWKMXNMXVMYRMZNNADNGNNIONOKNPRNZDPABPENPGKPHPPKRPLNQARRONRSDRUBSARSBDSCRSDGSEKSGDSHPSLESOSSRD\
         SSPSTNSVCSYPSZLTHBTJSTMTTOPTRYTTDTWDTZSUAHUSDUSNUYUUZSVEDVESWSTXADXCDXCGYERZARZMWZWG",
    ),
    (3, "BHDIQDJODKWDLYDOMRTND"),
    (4, "CLFUYW"),
];

/// A currency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Currency {
    code: &'static str,
    decimals: u8,
}

impl Currency {
    /// The currency of the built-in lists.
    pub const DEMO: Self = Self { code: "USD", decimals: 2 };

    /// The currency with this code: three capital letters.
    ///
    /// # Errors
    /// No active code of ISO 4217.
    pub fn from_code(code: &str) -> Result<Self> {
        let found = Self::all().find(|known| known.code == code);
        found.ok_or_else(|| Error::new("error-currency", "").with("code", code.chars().take(12).collect::<String>()))
    }

    /// Every currency, by number of decimals and then by code.
    pub fn all() -> impl Iterator<Item = Self> {
        CODES.iter().flat_map(|(decimals, codes)| {
            (0..codes.len()).step_by(3).map(|at| Self { code: &codes[at..at + 3], decimals: *decimals })
        })
    }

    /// Its code: three capital letters.
    pub fn code(self) -> &'static str {
        self.code
    }

    /// How many decimals its amounts have: one minor unit is 10 to the power of minus that. 0 to 4.
    pub fn decimals(self) -> u8 {
        self.decimals
    }
}

impl std::fmt::Display for Currency {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.code)
    }
}
