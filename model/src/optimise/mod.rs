//! The whole-job program: the best permitted option for every part at once.
