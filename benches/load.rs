//! The service under more heavy calls than it can work: what is still answered, how fast, and
//! whether light calls notice. Run with `cargo bench --bench load`; it takes under a minute,
//! stays on loopback, and prints a table.
//!
//! A heavy call is a stand-in of known cost. The knee is the best rate of answers that any
//! number of callers gets, each calling again once it has its answer. After that calls arrive
//! at fixed times, whether earlier ones were answered or not, and waiting counts from the time
//! a call was due.

#[path = "driver/mod.rs"]
mod driver;
#[path = "../tests/api/support/standin.rs"]
mod standin;

use std::net::SocketAddr;
use std::time::{Duration, Instant};

use driver::{Load, Measured, Post};
use extraction_maths::server::settings::Settings;
use extraction_maths::server::start;

/// Time that one heavy call should take by itself.
const HEAVY_CALL: Duration = Duration::from_millis(20);
/// Light calls a second that go on beside everything.
const LIGHT_RATE: f64 = 200.0;

fn main() {
    if !std::env::args().any(|argument| argument == "--bench") {
        // started by `cargo test`: there is nothing to measure
        return;
    }
    let address = serve();
    let light = Post::new(address, "/v1/ratio", r#"{"dose_g":18,"brew_ratio":2}"#);
    let heavy = calibrated(address);
    let spell = Duration::from_secs(4);
    driver::open(&light, Load::new(LIGHT_RATE, Duration::from_secs(1)), 8);

    let alone = driver::open(&light, Load::new(LIGHT_RATE, spell), 8);
    let one = driver::closed(&heavy, 1, Duration::from_secs(2));
    let ramp = [2, 3, 4].map(|callers| ramped(&light, &heavy, callers));
    let rates = ramp
        .iter()
        .filter(|at| at.percentile(0.99) <= 5.0 * one.percentile(0.5));
    let knee = rates.map(Measured::goodput).fold(one.goodput(), f64::max);

    let (calm, light_calm) = beside(&light, &heavy, Load::new(0.7 * knee, 2 * spell), 32);
    let (flood, light_flood) = beside(&light, &heavy, Load::new(10.0 * knee, 3 * spell), 64);

    print("light alone", &alone);
    print("heavy, one caller", &one);
    say(&format!("knee                     {knee:8.1} /s"));
    print("heavy at 0.7 knee", &calm);
    print("light beside it", &light_calm);
    print("heavy at 10 knee", &flood);
    print("light beside it", &light_flood);
    judge(
        "goodput at 10 knee / knee",
        flood.goodput() / knee,
        "0.9 or more",
    );
    judge_times([&alone, &one, &calm, &flood, &light_flood]);
    judge(
        "answers neither 2xx, 429 nor 503",
        f64::from(flood.others()),
        "0",
    );
}

fn judge_times([alone, one, calm, flood, light_flood]: [&Measured; 5]) {
    let p99 = |measured: &Measured| measured.percentile(0.99);
    judge(
        "p99 accepted, 10 knee / 0.7 knee",
        p99(flood) / p99(calm),
        "2 or less",
    );
    judge(
        "light p99 beside flood / alone",
        p99(light_flood) / p99(alone),
        "3 or less",
    );
    let shed = flood.shed_percentile(0.99) / one.percentile(0.5);
    judge("shed p99 / heavy p50", shed, "0.5 or less");
}

fn judge(name: &str, value: f64, wanted: &str) {
    say(&format!("{name:<40} {value:6.2}  wanted {wanted}"));
}

/// Both loads at once.
fn beside(light: &Post, heavy: &Post, load: Load, callers: u32) -> (Measured, Measured) {
    std::thread::scope(|scope| {
        let light = scope.spawn(|| driver::open(light, Load::new(LIGHT_RATE, load.spell()), 8));
        let heavy = driver::open(heavy, load, callers);
        (heavy, light.join().unwrap_or_default())
    })
}

/// Callers that call again once they are answered, beside the same light load as all others.
fn ramped(light: &Post, heavy: &Post, callers: u32) -> Measured {
    let spell = Duration::from_secs(2);
    std::thread::scope(|scope| {
        scope.spawn(|| driver::open(light, Load::new(LIGHT_RATE, spell), 8));
        driver::closed(heavy, callers, spell)
    })
}

/// A heavy call of about [`HEAVY_CALL`].
fn calibrated(address: SocketAddr) -> Post {
    let body = |units: f64| format!("{{\"units\":{}}}", units.round());
    let mut units = 1000.0;
    for _ in 0..4 {
        let call = Post::new(address, "/v1/heavy", &body(units));
        // the quickest of several: the others met something else on the machine
        let once = |_| {
            let begun = Instant::now();
            driver::closed(&call, 1, Duration::ZERO);
            begun.elapsed().as_secs_f64()
        };
        let quickest = (0..8).map(once).fold(f64::INFINITY, f64::min);
        units = (units * HEAVY_CALL.as_secs_f64() / quickest).clamp(1.0, 1e6);
    }
    Post::new(address, "/v1/heavy", &body(units))
}

#[expect(
    clippy::expect_used,
    reason = "a bench that cannot start has nothing to say"
)]
fn serve() -> SocketAddr {
    let (sender, receiver) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        actix_web::rt::System::new().block_on(async move {
            let settings =
                Settings::from_arguments(&["--listen", "127.0.0.1:0"]).expect("settings");
            let running = start(settings, &standin::REGISTRY).expect("a service that starts");
            sender.send(running.address).expect("a receiver");
            running.server.await
        })
    });
    receiver.recv().expect("an address")
}

fn print(name: &str, measured: &Measured) {
    let ms = |seconds: f64| 1000.0 * seconds;
    say(&format!(
        "{name:<20} {:8.1} answered/s  p50 {:8.3} ms  p99 {:8.3} ms  shed {:6}",
        measured.goodput(),
        ms(measured.percentile(0.5)),
        ms(measured.percentile(0.99)),
        measured.shed(),
    ));
}

#[expect(clippy::print_stdout, reason = "the table")]
fn say(text: &str) {
    println!("{text}");
}
