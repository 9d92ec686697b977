package authority

import (
	"net"
	"net/netip"
)

func ipNet(p netip.Prefix) *net.IPNet {
	return &net.IPNet{IP: p.Masked().Addr().AsSlice(), Mask: net.CIDRMask(p.Bits(), p.Addr().BitLen())}
}
