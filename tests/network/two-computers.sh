#!/usr/bin/env bash
# Two computers on a home network of their own, cut off from every other: runs one command on the
# first and, while it goes on, another on the second. Usage: unshare --map-root-user --net bash
# two-computers.sh FIRST SECOND; the answer is the second's. FIRST and SECOND are shell commands;
# the second may put further ones on the first with `on_first COMMAND`.
set -euo pipefail

ip link set lo up
unshare --net sleep infinity &
second=$!
trap 'kill $(jobs -p) 2>/dev/null || true' EXIT
until [ "$(readlink "/proc/$second/ns/net")" != "$(readlink /proc/self/ns/net)" ]; do sleep 0.02; done

on_second() { nsenter --target "$second" --net "$@"; }

ip link add kitchen type veth peer name phone netns "$second"
ip address add 192.168.77.1/24 dev kitchen
ip link set kitchen up
ip route add default via 192.168.77.254
on_second ip link set lo up
on_second ip address add 192.168.77.2/24 dev phone
on_second ip link set phone up
on_second ip route add default via 192.168.77.254

bash -c "exec $1" &
FIRST_NET=$$ FIRST_PID=$! on_second bash -c "
  on_first() { nsenter --target \$FIRST_NET --net \"\$@\"; }
  $2"
