//! The service under more heavy calls than it can work: what is still answered, how fast, and
//! whether light calls notice. Run with `cargo bench --bench load`; it takes a minute, stays on
//! loopback, and prints a table.
//!
//! A heavy call is a stand-in of known cost. The knee is the best rate of answers that any
//! number of callers gets, each calling again once it has its answer. After that calls arrive
//! at fixed times, whether earlier ones were answered or not, and waiting counts from the time
//! a call was due. The callers work on the same cores, so their cost counts against the service.
//! Each ratio is within one round; the median of the rounds is judged, since a machine is not
//! equally quick all the time.

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
/// Rounds; an odd number, for the median.
const ROUNDS: usize = 3;
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
    driver::open(&light, Load::new(LIGHT_RATE, Duration::from_secs(1)), 8);
    let rounds: Vec<Round> = (0..ROUNDS).map(|_| Round::of(&light, &heavy)).collect();
    judge(
        "goodput at 10 knee / knee",
        median(&rounds, |round| round.flood.goodput() / round.knee),
        "0.9 or more",
    );
    judge(
        "p99 accepted, 10 knee / 0.7 knee",
        median(&rounds, |round| p99(&round.flood) / p99(&round.calm)),
        "2 or less",
    );
    judge(
        "light p99 beside flood / alone",
        median(&rounds, |round| p99(&round.light_flood) / p99(&round.alone)),
        "3 or less",
    );
    judge(
        "shed p99 / heavy p50",
        median(&rounds, |round| {
            round.flood.shed_percentile(0.99) / round.one.percentile(0.5)
        }),
        "0.5 or less",
    );
    let others: u32 = rounds
        .iter()
        .map(|round| round.calm.others() + round.flood.others())
        .sum();
    judge("answers neither 2xx, 429 nor 503", f64::from(others), "0");
}

/// Everything once.
struct Round {
    /// Light calls with nothing beside them.
    alone: Measured,
    /// One heavy caller.
    one: Measured,
    /// Best rate of heavy answers.
    knee: f64,
    /// Heavy calls at 0.7 of the knee.
    calm: Measured,
    /// Heavy calls at ten times the knee.
    flood: Measured,
    /// Light calls beside the flood.
    light_flood: Measured,
}

impl Round {
    fn of(light: &Post, heavy: &Post) -> Self {
        let spell = Duration::from_secs(4);
        let alone = driver::open(light, Load::new(LIGHT_RATE, spell / 2), 8);
        let one = driver::closed(heavy, 1, spell / 4);
        let ramp = [2, 3, 4].map(|callers| ramped(light, heavy, callers));
        let rates = ramp
            .iter()
            .filter(|at| at.percentile(0.99) <= 5.0 * one.percentile(0.5));
        let knee = rates.map(Measured::goodput).fold(one.goodput(), f64::max);
        let (calm, light_calm) = beside(light, heavy, Load::new(0.7 * knee, spell), 32);
        let (flood, light_flood) = beside(light, heavy, Load::new(10.0 * knee, spell), 64);
        print("light alone", &alone);
        print("heavy, one caller", &one);
        say(&format!("knee                 {knee:8.1} /s"));
        print("heavy at 0.7 knee", &calm);
        print("light beside it", &light_calm);
        print("heavy at 10 knee", &flood);
        print("light beside it", &light_flood);
        say("");
        Self {
            alone,
            one,
            knee,
            calm,
            flood,
            light_flood,
        }
    }
}

fn p99(measured: &Measured) -> f64 {
    measured.percentile(0.99)
}

fn median(rounds: &[Round], of: impl Fn(&Round) -> f64) -> f64 {
    let mut values: Vec<f64> = rounds.iter().map(of).collect();
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
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
