# Builds an image that holds only the program. Three stages: the front end's
# packages, the program, and what is needed to run it.
FROM node:20.20.2-bookworm-slim AS front
WORKDIR /src
COPY ui/package.json ui/package-lock.json ui/.npmrc ui/
RUN npm ci --prefix ui --ignore-scripts --omit=dev

FROM golang:1.26.8-bookworm AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY api api
COPY cmd cmd
COPY rigging rigging
COPY selection selection
COPY ui ui
COPY --from=front /src/ui/node_modules ui/node_modules
# cgo for SQLite; the runtime below has the same C library as this stage.
# docker build --build-arg VERSION="$(git describe --tags --always --dirty)" .
ARG VERSION=unknown
RUN go generate ./ui/notices
RUN CGO_ENABLED=1 go build -trimpath -buildvcs=false -ldflags="-s -w -X main.stamp=$VERSION" -o /out/thole ./cmd/thole

FROM debian:12.12-slim
COPY --from=build /out/thole /usr/local/bin/thole
# The number is fixed so that a mounted folder can be given to it.
RUN useradd --system --uid 10001 --no-create-home --shell /usr/sbin/nologin thole \
 && install -d -o thole -g thole -m 0700 /data
USER 10001
WORKDIR /data
VOLUME /data
STOPSIGNAL SIGTERM
HEALTHCHECK --interval=30s --timeout=5s --start-period=5s --retries=3 CMD ["thole", "healthcheck"]
ENTRYPOINT ["thole"]
CMD ["serve", "-db", "/data/thole.db"]
