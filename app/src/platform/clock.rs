//! The wall clock.

/// Milliseconds since the start of 1970, UTC; 0 where the clock stands before that.
#[must_use]
pub fn now_ms() -> u64 {
    let now = js_sys::Date::now();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // whole, positive and far below 2⁵³
    if now.is_finite() && now > 0.0 { now as u64 } else { 0 }
}

/// Today by the tablet's own calendar, `YYYY-MM-DD`.
#[must_use]
pub fn today() -> String {
    day(&js_sys::Date::new_0())
}

/// The day so many days before today, `YYYY-MM-DD`.
#[must_use]
pub fn days_ago(days: u32) -> String {
    day(&js_sys::Date::new(&(js_sys::Date::now() - f64::from(days) * 86_400_000.0).into()))
}

/// A moment, in milliseconds since 1970, by the tablet's own calendar and clock, `YYYY-MM-DDTHH:MM`; now where it makes
/// no date.
#[must_use]
pub fn minute(ms: f64) -> String {
    let mut date = js_sys::Date::new(&ms.into());
    if !(1970..=9999).contains(&date.get_full_year()) {
        date = js_sys::Date::new_0();
    }
    format!("{}T{:02}:{:02}", day(&date), date.get_hours(), date.get_minutes())
}

fn day(date: &js_sys::Date) -> String {
    format!("{:04}-{:02}-{:02}", date.get_full_year(), date.get_month() + 1, date.get_date())
}

/// Waits.
pub async fn pause(ms: i32) {
    let promise = js_sys::Promise::new(&mut |resolve, _| {
        let Some(window) = web_sys::window() else { return };
        let _ = window.set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, ms);
    });
    // Only a window without timers would refuse, and there is none.
    let _ = wasm_bindgen_futures::JsFuture::from(promise).await;
}
