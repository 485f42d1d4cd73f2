//! Starts the app: panic hook, then mount; nothing else.

fn main() {
    app::shell::start();
}
