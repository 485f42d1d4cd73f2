//! The time book: from units of work to hours, with their spread.
