//! From operations to hours, days and money, each total open to its terms.
