// SPDX-License-Identifier: MIT
// `rate 1 EUR = 1.08 USD`: how an amount in one currency is brought to another where a link crosses.
#include <algorithm>

#include "engine/job/core.h"
#include "engine/units/format.h"
#include "engine/units/unit.h"

namespace spanwright::job {

namespace {

/// One currency to the first power and nothing else.
bool isMoney(const units::Dimension& d) { return d.currencies().size() == 1 && d == units::Dimension::currency(d.currencies().front().first); }

} // namespace

void Core::readRate(std::uint32_t row) {
    const syntax::Row& r = m_document.rows()[row];
    if (r->sizes.size() != 2 || !r->complaints.empty()) return; // the document tells why
    const auto tell = [&](diag::Code code, base::ByteSpan span, std::string message, std::string mend) {
        diag::Diagnostic d;
        d.code = code;
        d.place = m_document.place(row, span);
        d.message = std::move(message);
        d.mend = std::move(mend);
        m_problems.push_back(std::move(d));
    };
    units::Written side[2];
    for (std::size_t i = 0; i < 2; ++i) {
        const base::ByteSpan span = r->sizes[i].span;
        const auto read = units::readValue(span.of(r.text));
        if (!read) {
            const units::ReadError& e = read.error();
            return tell(e.code, e.span.empty() ? span : base::ByteSpan{span.begin + e.span.begin, span.begin + e.span.end}, e.message, e.mend);
        }
        side[i] = read.value();
        if (!isMoney(side[i].unit.dimension) || !(side[i].si > 0.0))
            return tell(diag::Code::ValueMalformed, span, "a rate has an amount of money above zero on both sides", "write `rate 1 EUR = 1.08 USD`");
    }
    if (side[0].unit.dimension == side[1].unit.dimension)
        return tell(diag::Code::CurrencyMix, r->sizes[1].span, "both sides of this rate are in " + side[0].unit.shown, "write `rate 1 EUR = 1.08 USD`");
    const auto same = std::find_if(m_rates.begin(), m_rates.end(), [&](const meaning::Rate& o) {
        return (o.from == side[0].unit.dimension && o.to == side[1].unit.dimension) || (o.to == side[0].unit.dimension && o.from == side[1].unit.dimension);
    });
    if (same != m_rates.end())
        return tell(diag::Code::RowTwice, r->keyword.span, "there is a rate between these currencies already: " + same->text, "take one of them out");
    m_rates.push_back({side[0].unit.dimension, side[1].unit.dimension, side[1].si / side[0].si,
                       side[0].unit.shown + " = " + units::writeValue(side[1].si / side[0].si, side[1].unit)});
}

} // namespace spanwright::job
