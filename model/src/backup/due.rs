//! Whether a person is to be reminded of a backup: enough days have passed and something has changed since.

const DAY_MS: u64 = 86_400_000;

/// What the reminder says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Due {
    /// Whole days since the last backup, or since the oldest edit where there never was one.
    pub days: u64,
    /// There never was one.
    pub never: bool,
    /// Jobs that changed since.
    pub jobs: usize,
}

/// Whether it is time. `changed` holds when each job last changed, `last` when the last backup was made (0: never) and
/// `now` the present, all in milliseconds since 1970; `days` is how long a shop waits, 0 for never reminding.
pub fn due(changed: &[u64], last: u64, now: u64, days: u32) -> Option<Due> {
    let jobs = changed.iter().filter(|at| **at > last).count();
    let since = if last == 0 { changed.iter().copied().min()? } else { last };
    // A clock that was set back must not silence the reminder for good.
    let passed = now.checked_sub(since).map(|ms| ms / DAY_MS).unwrap_or(u64::from(days));
    let is_due = days > 0 && jobs > 0 && passed >= u64::from(days);
    is_due.then_some(Due { days: passed, never: last == 0, jobs })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_waits_for_the_days_and_for_a_change() {
        let at = |day: u64| day * DAY_MS + 1;
        assert_eq!(due(&[], 0, at(100), 7), None);
        assert_eq!(due(&[at(95)], 0, at(100), 7), None, "the oldest edit is five days old");
        assert_eq!(due(&[at(93), at(99)], 0, at(100), 7), Some(Due { days: 7, never: true, jobs: 2 }));
        assert_eq!(due(&[at(80)], at(90), at(100), 7), None, "nothing has changed since");
        assert_eq!(due(&[at(80), at(91)], at(90), at(100), 7), Some(Due { days: 10, never: false, jobs: 1 }));
        assert_eq!(due(&[at(91)], at(90), at(100), 0), None, "not wanted");
        assert!(due(&[at(500)], at(400), at(100), 7).is_some(), "a clock set back");
    }
}
