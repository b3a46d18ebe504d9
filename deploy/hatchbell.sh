#!/bin/sh
# hatchbell as the service runs it, for root: as its user, on its database, copies into its folder.
if [ "${1:-}" = backup ]; then
    shift
    set -- backup --to /var/lib/hatchbell-backups --keep 48 "$@"
fi
exec runuser -u hatchbell -- env HATCHBELL_DB=/var/lib/hatchbell/farm.db /opt/hatchbell/current/bin/hatchbell "$@"
