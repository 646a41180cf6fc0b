# syntax=docker/dockerfile:1

# The program alone, statically linked, in an empty image. The build stage needs the crates
# registry; nothing is fetched when the container runs.
FROM rust:1.95-slim-bookworm AS build
SHELL ["/bin/bash", "-o", "pipefail", "-c"]
WORKDIR /src
ARG EXTRACTION_MATHS_COMMIT=unknown
ENV EXTRACTION_MATHS_COMMIT=$EXTRACTION_MATHS_COMMIT
COPY Cargo.toml Cargo.lock ./
COPY src src
COPY docs docs
COPY demo-data demo-data
# the manifest names the benches, so cargo wants to see them
COPY benches benches
# `--target` keeps the flags away from build scripts and procedural macros, which must stay
# dynamic; the cfg makes random numbers come from the kernel where there is no /dev
RUN target="$(rustc -vV | sed -n 's/^host: //p')" \
    && RUSTFLAGS='-C target-feature=+crt-static --cfg getrandom_backend="linux_getrandom"' \
       cargo build --release --locked --bin extraction-maths --target "$target" \
    && mv "target/$target/release/extraction-maths" /extraction-maths

FROM scratch
COPY --from=build /extraction-maths /extraction-maths
# all addresses of the container; publish the port to loopback or put a proxy before it
ENV EXTRACTION_MATHS_LISTEN=0.0.0.0:8080 \
    EXTRACTION_MATHS_LOG_FORMAT=json
USER 65532:65532
EXPOSE 8080
STOPSIGNAL SIGTERM
HEALTHCHECK --interval=10s --timeout=3s --start-period=1s --retries=3 \
    CMD ["/extraction-maths", "healthcheck"]
ENTRYPOINT ["/extraction-maths"]
CMD ["serve"]
