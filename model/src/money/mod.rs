//! Exact money: amounts in minor units of a currency, named rounding.
