/* A small embedded stack as a host: frames in, one at a time, and what it did with each out.
 * hosts.py compiles and runs it.
 *
 * The stack is the one that Debian packages as liblwip-dev, as it is built there. Each line of
 * standard input is a frame in hex, each line of standard output what was seen. Every frame meets
 * a freshly forked copy of the host, so none changes the way of another. Nothing is sent anywhere:
 * what the host wants to send is named and thrown away.
 *
 * The library keeps no counters, but its files call each other through the dynamic linker. The
 * functions below stand in front of those of the same name, note that they were called (and what
 * a checksum came to), and call on. The address filter of an adapter, which is not part of
 * a stack, is played here: own address, broadcast, and every group.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "lwip/etharp.h"
#include "lwip/icmp.h"
#include "lwip/icmp6.h"
#include "lwip/igmp.h"
#include "lwip/inet_chksum.h"
#include "lwip/init.h"
#include "lwip/ip4_frag.h"
#include "lwip/ip6_frag.h"
#include "lwip/mld6.h"
#include "lwip/nd6.h"
#include "lwip/netif.h"
#include "lwip/pbuf.h"
#include "lwip/priv/nd6_priv.h"
#include "lwip/priv/raw_priv.h"
#include "lwip/priv/tcp_priv.h"
#include "lwip/tcp.h"
#include "lwip/udp.h"
#include "netif/ethernet.h"

/* Who the host is: hosts.py defines it, from host.py. */
static const u8_t own[6] = {HOST_MAC};
static const u16_t udp_ports[] = {UDP_PORTS};
static const u16_t tcp_ports[] = {TCP_PORTS};
static const char *addresses6[] = {HOST_IPV6};
static const char *groups[] = {HOST_GROUPS};
static const char *groups6[] = {HOST_GROUPS_IPV6};

static FILE *traces; /* apart from what the stack prints by itself */
static int tracing;
static int inside; /* depth of sums taken for frames that go out */

static void note(const char *format, long value)
{
    if (tracing) {
        putc(' ', traces);
        fprintf(traces, format, value);
    }
}

#define NEXT(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

/* One thread is all there is: nothing to lock, and no thread whose name to ask for. */
void sys_check_core_locking(void) {}
void sys_lock_tcpip_core(void) {}
void sys_unlock_tcpip_core(void) {}
err_t netif_loop_output(struct netif *n, struct pbuf *p);

void etharp_input(struct pbuf *p, struct netif *n)
{
    note("in:arp", 0);
    NEXT(etharp_input)(p, n);
}

err_t ip4_input(struct pbuf *p, struct netif *n)
{
    note("in:ipv4", 0);
    return NEXT(ip4_input)(p, n);
}

err_t ip6_input(struct pbuf *p, struct netif *n)
{
    note("in:ipv6", 0);
    return NEXT(ip6_input)(p, n);
}

struct pbuf *ip4_reass(struct pbuf *p)
{
    note("in:reassembly", 0);
    return NEXT(ip4_reass)(p);
}

struct pbuf *ip6_reass(struct pbuf *p)
{
    note("in:reassembly", 0);
    return NEXT(ip6_reass)(p);
}

raw_input_state_t raw_input(struct pbuf *p, struct netif *n)
{
    note("in:transport", 0);
    return NEXT(raw_input)(p, n);
}

void icmp_input(struct pbuf *p, struct netif *n)
{
    note("in:icmp", 0);
    NEXT(icmp_input)(p, n);
}

void igmp_input(struct pbuf *p, struct netif *n, const ip4_addr_t *to)
{
    note("in:igmp", 0);
    NEXT(igmp_input)(p, n, to);
}

void udp_input(struct pbuf *p, struct netif *n)
{
    note("in:udp", 0);
    NEXT(udp_input)(p, n);
}

void tcp_input(struct pbuf *p, struct netif *n)
{
    note("in:tcp", 0);
    NEXT(tcp_input)(p, n);
}

void icmp6_input(struct pbuf *p, struct netif *n)
{
    note("in:icmpv6", 0);
    NEXT(icmp6_input)(p, n);
}

void nd6_input(struct pbuf *p, struct netif *n)
{
    note("in:nd", 0);
    NEXT(nd6_input)(p, n);
}

void mld6_input(struct pbuf *p, struct netif *n)
{
    note("in:mld", 0);
    NEXT(mld6_input)(p, n);
}

/* Sums: 0 is right. Those for frames that go out are taken inside of the output functions. */
u16_t inet_chksum(const void *data, u16_t length)
{
    u16_t sum = NEXT(inet_chksum)(data, length);
    if (!inside) note(sum ? "sum:wrong" : "sum:right", 0);
    return sum;
}

u16_t inet_chksum_pbuf(struct pbuf *p)
{
    u16_t sum = NEXT(inet_chksum_pbuf)(p);
    if (!inside) note(sum ? "sum:wrong" : "sum:right", 0);
    return sum;
}

u16_t ip_chksum_pseudo(struct pbuf *p, u8_t proto, u16_t length, const ip_addr_t *src,
                       const ip_addr_t *dest)
{
    u16_t sum = NEXT(ip_chksum_pseudo)(p, proto, length, src, dest);
    if (!inside) note(sum ? "sum:wrong" : "sum:right", 0);
    return sum;
}

u16_t ip6_chksum_pseudo(struct pbuf *p, u8_t proto, u16_t length, const ip6_addr_t *src,
                        const ip6_addr_t *dest)
{
    u16_t sum = NEXT(ip6_chksum_pseudo)(p, proto, length, src, dest);
    if (!inside) note(sum ? "sum:wrong" : "sum:right", 0);
    return sum;
}

void icmp_dest_unreach(struct pbuf *p, enum icmp_dur_type code)
{
    note("answer:icmp_3/%ld", (long)code);
    inside++;
    NEXT(icmp_dest_unreach)(p, code);
    inside--;
}

void icmp6_dest_unreach(struct pbuf *p, enum icmp6_dur_code code)
{
    note("answer:icmpv6_1/%ld", (long)code);
    inside++;
    NEXT(icmp6_dest_unreach)(p, code);
    inside--;
}

void icmp6_param_problem(struct pbuf *p, enum icmp6_pp_code code, const void *pointer)
{
    note("answer:icmpv6_4/%ld", (long)code);
    inside++;
    NEXT(icmp6_param_problem)(p, code, pointer);
    inside--;
}

/* What it sends to itself stays undelivered: its other thread, which would do that, is not there. */
err_t netif_loop_output(struct netif *n, struct pbuf *p)
{
    return ERR_OK;
}

/* What goes out. */
static void sent(int number, const u8_t *octets)
{
    inside++;
    if (number == IP_PROTO_ICMP) {
        if (octets[0] == ICMP_ER) note("answer:echo-reply", 0);
    } else if (number == IP6_NEXTH_ICMP6) {
        if (octets[0] == ICMP6_TYPE_EREP) note("answer:echo-reply", 0);
        if (octets[0] == ICMP6_TYPE_NA) note("answer:na", 0);
        if (octets[0] == ICMP6_TYPE_NS) note("answer:ns", 0);
    } else if (number == IP_PROTO_TCP) {
        if (octets[13] & 4) note("answer:rst", 0);
        else if ((octets[13] & 18) == 18) note("answer:syn-ack", 0);
        else note("answer:tcp_%02lx", (long)octets[13]);
    }
    inside--;
}

static err_t output4(struct netif *n, struct pbuf *p, const ip4_addr_t *to)
{
    u8_t octets[80] = {0};
    pbuf_copy_partial(p, octets, sizeof octets, 0);
    sent(octets[9], octets + (octets[0] & 15) * 4);
    return ERR_OK;
}

static err_t output6(struct netif *n, struct pbuf *p, const ip6_addr_t *to)
{
    u8_t octets[80] = {0};
    pbuf_copy_partial(p, octets, sizeof octets, 0);
    sent(octets[6], octets + 40);
    return ERR_OK;
}

static err_t link_output(struct netif *n, struct pbuf *p)
{
    u8_t octets[64] = {0};
    pbuf_copy_partial(p, octets, sizeof octets, 0);
    if (octets[12] == 8 && octets[13] == 6)
        note(octets[21] == 2 ? "answer:arp-reply" : "answer:arp-request", 0);
    return ERR_OK;
}

static err_t start(struct netif *n)
{
    n->name[0] = 'f';
    n->name[1] = 'r';
    n->mtu = 1500;
    n->hwaddr_len = 6;
    memcpy(n->hwaddr, own, 6);
    n->flags = NETIF_FLAG_BROADCAST | NETIF_FLAG_ETHARP | NETIF_FLAG_ETHERNET |
               NETIF_FLAG_IGMP | NETIF_FLAG_MLD6 | NETIF_FLAG_LINK_UP;
    n->output = output4;
    n->output_ip6 = output6;
    n->linkoutput = link_output;
    return ERR_OK;
}

static void received(void *arg, struct udp_pcb *pcb, struct pbuf *p, const ip_addr_t *from,
                     u16_t port)
{
    if (tracing) fprintf(traces, " at:udp:%u=%u", pcb->local_port, p->tot_len);
    pbuf_free(p);
}

static struct netif host;

static void set_up(void)
{
    ip4_addr_t address, mask, gateway;
    ip6_addr_t address6;
    unsigned i;

    lwip_init();
    ip4addr_aton(HOST_IPV4, &address);
    IP4_ADDR(&mask, 255, 255, 255, 0);
    ip4addr_aton(HOST_GATEWAY, &gateway);
    netif_add(&host, &address, &mask, &gateway, NULL, start, ethernet_input);
    netif_set_default(&host);
    for (i = 0; i < sizeof addresses6 / sizeof *addresses6; i++) {
        ip6addr_aton(addresses6[i], &address6);
        netif_ip6_addr_set(&host, (s8_t)i, &address6);
    }
    host.output = output4;
    host.ip6_autoconfig_enabled = 0;
    netif_set_up(&host);
    netif_ip6_addr_set_state(&host, 0, IP6_ADDR_PREFERRED);
    netif_ip6_addr_set_state(&host, 1, IP6_ADDR_PREFERRED);
    for (i = 0; i < sizeof udp_ports / sizeof *udp_ports; i++) {
        struct udp_pcb *pcb = udp_new_ip_type(IPADDR_TYPE_ANY);
        udp_bind(pcb, IP_ANY_TYPE, udp_ports[i]);
        udp_recv(pcb, received, NULL);
    }
    for (i = 0; i < sizeof tcp_ports / sizeof *tcp_ports; i++) {
        struct tcp_pcb *pcb = tcp_new_ip_type(IPADDR_TYPE_ANY);
        tcp_bind(pcb, IP_ANY_TYPE, tcp_ports[i]);
        tcp_listen(pcb);
    }
    for (i = 0; i < sizeof groups / sizeof *groups; i++) {
        ip4addr_aton(groups[i], &address);
        igmp_joingroup_netif(&host, &address);
    }
    for (i = 0; i < sizeof groups6 / sizeof *groups6; i++) {
        ip6addr_aton(groups6[i], &address6);
        mld6_joingroup_netif(&host, &address6);
    }
}

/* What a neighbor or router advertisement or an ARP message leaves behind. */
static int neighbours(void)
{
    ip4_addr_t *address;
    struct netif *n;
    struct eth_addr *hardware;
    size_t i;
    int count = 0;
    for (i = 0; i < ARP_TABLE_SIZE; i++)
        if (etharp_get_entry(i, &address, &n, &hardware)) count++;
    for (i = 0; i < LWIP_ND6_NUM_NEIGHBORS; i++)
        if (neighbor_cache[i].state != ND6_NO_ENTRY &&
            neighbor_cache[i].state != ND6_INCOMPLETE) count++;
    return count;
}

static int routers(void)
{
    int i, count = 0;
    for (i = 0; i < LWIP_ND6_NUM_ROUTERS; i++)
        if (default_router_list[i].neighbor_entry) count++;
    return count;
}

/* An entry that waits for the answer: else an advertisement is not looked at. */
static void await(const u8_t *octets, int count)
{
    if (count >= 78 && octets[12] == 0x86 && octets[13] == 0xdd && octets[54] == 136) {
        ip6_addr_t *target = &neighbor_cache[0].next_hop_address;
        memcpy(target->addr, octets + 62, 16);
        ip6_addr_assign_zone(target, IP6_UNKNOWN, &host);
        neighbor_cache[0].netif = &host;
        neighbor_cache[0].state = ND6_INCOMPLETE;
        neighbor_cache[0].counter.probes_sent = 1;
    }
}

static void feed(const u8_t *octets, int count)
{
    struct pbuf *p;
    int before, routed;
    if (memcmp(octets, own, 6) && !(octets[0] & 1)) {
        note("filtered", 0);
        return;
    }
    p = pbuf_alloc(PBUF_RAW, (u16_t)count, PBUF_RAM);
    if (!p) exit(4);
    pbuf_take(p, octets, (u16_t)count);
    await(octets, count);
    before = neighbours();
    routed = routers();
    if (host.input(p, &host) != ERR_OK) pbuf_free(p);
    if (neighbours() > before) note("learned:neighbour", 0);
    if (routers() > routed) note("learned:router", 0);
}

int main(void)
{
    char *line = NULL;
    size_t room = 0;
    ssize_t length;
    static u8_t octets[65536];

    set_up();
    traces = fdopen(dup(1), "w");
    if (!traces || dup2(2, 1) < 0) return 4;
    while ((length = getline(&line, &room, stdin)) > 0) {
        int count = 0, status;
        pid_t child;
        while (count < (int)sizeof octets && sscanf(line + 2 * count, "%2hhx", octets + count) == 1)
            count++;
        child = fork();
        if (child == 0) {
            tracing = 1;
            alarm(10);
            feed(octets, count);
            fflush(traces);
            _exit(0);
        }
        waitpid(child, &status, 0);
        if (WIFSIGNALED(status)) fprintf(traces, " ended:signal_%d", WTERMSIG(status));
        putc('\n', traces);
        fflush(traces);
    }
    return 0;
}
