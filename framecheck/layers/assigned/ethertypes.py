"""EtherTypes: what a frame carries.

Source: IANA "IEEE 802 Numbers", those a bench meets, from memory, as of 2025; names that
Debian's netbase 6.4 (/etc/ethertypes) has too are tested against it.
"""

ETHERTYPES = {
    0x0800: "IPv4",
    0x0806: "ARP",
    0x0842: "wake on LAN",
    0x22F0: "AVTP",
    0x22F3: "TRILL",
    0x6003: "DECnet",
    0x8035: "RARP",
    0x809B: "AppleTalk",
    0x80F3: "AppleTalk ARP",
    0x8100: "VLAN tag",
    0x8137: "IPX",
    0x86DD: "IPv6",
    0x8808: "MAC control",
    0x8809: "slow protocols",
    0x8847: "MPLS",
    0x8848: "MPLS with upstream label",
    0x8863: "PPPoE discovery",
    0x8864: "PPPoE session",
    0x888E: "EAP over LAN",
    0x8892: "PROFINET",
    0x88A4: "EtherCAT",
    0x88A8: "service VLAN tag",
    0x88B5: "local experiment 1",
    0x88B6: "local experiment 2",
    0x88CC: "LLDP",
    0x88E5: "MACsec",
    0x88F7: "PTP",
    0x8906: "FCoE",
    0x9000: "loopback test",
}
