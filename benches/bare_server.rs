//! A bare actix handler that reads the same JSON and makes one division: the yardstick of
//! `benches/against_bare.sh`. Run as `cargo bench --bench bare_server -- 127.0.0.1:0`.

use actix_web::{App, HttpResponse, HttpServer, web};
use serde::{Deserialize, Serialize};

#[derive(Deserialize)]
struct Request {
    dose_g: f64,
    beverage_mass_g: f64,
    tds_percent: f64,
}

#[derive(Serialize)]
struct Answer {
    extraction_yield_percent: f64,
}

#[expect(
    clippy::disallowed_types,
    reason = "the framework's own way is what we are measured against"
)]
async fn divide(request: web::Json<Request>) -> HttpResponse {
    HttpResponse::Ok().json(Answer {
        extraction_yield_percent: request.tds_percent * request.beverage_mass_g / request.dose_g,
    })
}

#[expect(clippy::print_stdout, reason = "the script reads the address")]
fn main() -> std::io::Result<()> {
    let address = std::env::args().find(|argument| argument.contains(':'));
    let Some(address) = address else {
        // started by `cargo bench` or `cargo test` without an address: there is nothing to measure
        return Ok(());
    };
    actix_web::rt::System::new().block_on(async {
        let server = HttpServer::new(|| {
            App::new().service(web::resource("/v1/extraction-yield").route(web::post().to(divide)))
        })
        .workers(1)
        .bind(address)?;
        for address in server.addrs() {
            println!("listening on http://{address}");
        }
        server.run().await
    })
}
