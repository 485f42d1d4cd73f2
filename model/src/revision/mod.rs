//! Frozen revisions of a plan, and what has changed since, with the cause.
