#!/bin/sh
# Makes a certificate authority, a broker and client certificates FOR TRYING OUT. In a plant the
# certificates come from its own authority, and the authority's key never lies on a broker.
#
#   ./make-certificates.sh FOLDER BROKER-HOST [ACCOUNT ...]
#
# FOLDER then holds ca.crt, broker.crt, broker.key and ACCOUNT.crt, ACCOUNT.key (PEM, PKCS #8), by
# default for the account borewarden-cell-4. They last 90 days.
set -eu
umask 077
[ $# -ge 2 ] || { echo "usage: $0 FOLDER BROKER-HOST [ACCOUNT ...]" >&2; exit 2; }
folder=$1
host=$2
shift 2
[ $# -gt 0 ] || set -- borewarden-cell-4
days=90
case $host in
  *[!0-9.]*) names=DNS:$host ;;
  *) names=IP:$host ;;
esac

mkdir -p "$folder"
cd "$folder"

key() {
  openssl genpkey -algorithm EC -pkeyopt ec_paramgen_curve:P-256 -out "$1.key"
}

# issue NAME EXTENSION...: a key and a certificate for NAME, signed by ca.
issue() {
  name=$1
  shift
  key "$name"
  openssl req -new -key "$name.key" -subj "/CN=$name" -out "$name.csr"
  printf '%s\n' "basicConstraints=critical,CA:FALSE" "$@" >"$name.ext"
  openssl x509 -req -in "$name.csr" -CA ca.crt -CAkey ca.key -CAcreateserial \
    -days "$days" -extfile "$name.ext" -out "$name.crt"
  rm "$name.csr" "$name.ext"
}

key ca
openssl req -x509 -new -key ca.key -subj "/CN=trying-out-authority" -days "$days" \
  -addext keyUsage=critical,keyCertSign,cRLSign -out ca.crt
issue broker "subjectAltName=$names" extendedKeyUsage=serverAuth
for account; do
  issue "$account" extendedKeyUsage=clientAuth
done
echo "made in $(pwd): ca.crt broker.crt broker.key and for each of: $*"
