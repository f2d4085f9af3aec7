#!/bin/sh
# Makes discal-*.png from discal.svg. Only needed when the icon changes (apt-get install librsvg2-bin).
set -eu
cd "$(dirname "$0")"
for size in 48 128 256 512; do
    rsvg-convert --width "$size" --height "$size" --output "discal-$size.png" discal.svg
done
