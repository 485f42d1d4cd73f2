//! What the shop has and charges: equipment, time book, rates, price list.
