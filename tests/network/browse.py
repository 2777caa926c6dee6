"""Looks around on the network for web servers as an outside program does, and opens what it finds.

Usage: browse.py SECONDS COUNT [GONE]. Prints one JSON line for each service as soon as its details
are known, and, with GONE, one when it says goodbye; ends after COUNT lines or SECONDS.
"""

import json
import sys
import threading
import time
import urllib.request

from zeroconf import ServiceBrowser, ServiceStateChange, Zeroconf

SERVICE = "_http._tcp.local."


def opened(address, port, host):
    """What GET / answers at an address, asked by the host's name."""
    request = urllib.request.Request(f"http://{address}:{port}/", headers={"Host": f"{host}:{port}"})
    # No proxy stands between two computers at home.
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    with opener.open(request, timeout=5) as answer:
        return {"status": answer.status, "putby": b"Putby" in answer.read()}


def main():
    seconds, count = float(sys.argv[1]), int(sys.argv[2])
    tell_goodbyes = len(sys.argv) > 3
    told, full = [], threading.Event()

    def tell(line):
        told.append(line)
        print(json.dumps(line), flush=True)
        if len(told) >= count:
            full.set()

    def changed(zeroconf, service_type, name, state_change):
        if state_change is ServiceStateChange.Removed:
            if tell_goodbyes:
                tell({"gone": name})
            return
        if state_change is not ServiceStateChange.Added:
            return
        threading.Thread(target=look_into, args=(zeroconf, service_type, name), daemon=True).start()

    def look_into(zeroconf, service_type, name):
        info = zeroconf.get_service_info(service_type, name, 5000)
        if info is None:
            tell({"name": name, "unresolved": True})
            return
        host, addresses = info.server.rstrip("."), info.parsed_addresses()
        answer = opened(addresses[0], info.port, host)
        tell({"name": name, "host": host, "port": info.port, "addresses": addresses, **answer})

    zeroconf = Zeroconf()
    started = time.monotonic()
    ServiceBrowser(zeroconf, SERVICE, handlers=[changed])
    full.wait(seconds - (time.monotonic() - started))
    zeroconf.close()


main()
