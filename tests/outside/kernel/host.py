"""Who the host is to which all frames are shown: the same in the kernel and in the small stack."""

MAC = "00:00:5e:00:53:07"
IPV4, MASK, BROADCAST = "192.0.2.77", 24, "192.0.2.255"
IPV6 = ("fe80::200:5eff:fe00:5307", "2001:db8::77")
GATEWAY, GATEWAY_IPV6 = "192.0.2.254", "fe80::200:5eff:fe00:53fe"
GATEWAY_MAC = "00:00:5e:00:53:fe"
UDP_PORTS = (5001, 53, 67, 68, 69, 123, 514, 546, 547, 5353, 5355)
TCP_PORTS = (5001, 80)
"""Where it listens."""
GROUPS = ("224.0.0.2", "224.0.0.22", "224.0.0.251", "224.0.0.252", "239.192.0.7")
GROUPS_IPV6 = ("ff02::2", "ff02::16", "ff02::fb", "ff02::1:2", "ff02::1:3", "ff02::1:ff00:1")
"""What it joined, beside the groups that every host is in."""
