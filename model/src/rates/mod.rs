//! What the shop charges: labour, materials, work done outside, storage, tax.
