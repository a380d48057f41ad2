// SPDX-License-Identifier: MIT
#include <string_view>

#include "engine/units/catalogue.h"

namespace spanwright::units {

namespace {

// ISO 4217 list one as printed in the Debian package iso-codes 4.15, without metals, bond units,
// settlement units, test codes and the codes withdrawn since (ANG, CUC, HRK, SLL, ZWL); XAD, XCG and
// ZWG, which came later, are from memory.
constexpr std::string_view kCodes = "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BOV BRL BSD BTN "
                                    "BWP BYN BZD CAD CDF CHE CHF CHW CLF CLP CNY COP COU CRC CUP CVE CZK DJF DKK DOP DZD EGP "
                                    "ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR "
                                    "ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA "
                                    "MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK "
                                    "PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC "
                                    "SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD USN UYI UYU UYW UZS VED VES VND "
                                    "VUV WST XAD XAF XCD XCG XOF XPF YER ZAR ZMW ZWG";

constexpr std::size_t kStride = 4; // three letters and a blank

constexpr std::string_view codeAt(std::size_t i) { return kCodes.substr(i * kStride, 3); }

constexpr std::size_t kCount = (kCodes.size() + 1) / kStride;

constexpr bool wellOrdered() {
    if (kCodes.size() != kCount * kStride - 1) return false;
    for (std::size_t i = 0; i < kCount; ++i) {
        for (const char c : codeAt(i)) {
            if (c < 'A' || c > 'Z') return false;
        }
        if (i > 0 && (codeAt(i - 1) >= codeAt(i) || kCodes[i * kStride - 1] != ' ')) return false;
    }
    return true;
}
static_assert(wellOrdered(), "currency codes: three capitals each, ascending, none twice");

} // namespace

const std::vector<std::string_view>& currencyCodes() {
    static const std::vector<std::string_view> codes = [] {
        std::vector<std::string_view> list;
        for (std::size_t i = 0; i < kCount; ++i) list.push_back(codeAt(i));
        return list;
    }();
    return codes;
}

} // namespace spanwright::units
