// SPDX-License-Identifier: MIT
#include "engine/base/text.h"
#include "engine/report/clean.h"
#include "engine/report/words.h"
#include "engine/report/write.h"

namespace spanwright::report {

std::string writeScheduleCsv(const JobFacts& f) {
    std::string out = "mark,count,section,span,governing check,utilisation,verdict,purpose,sheet,mass kg,cost,currency,cost from,cost to\n";
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        const job::MemberView& m = f.members[i].view;
        std::string mass, cost, currency, from, to;
        if (f.shop && i < f.shop->schedule.size()) {
            const shop::Workshop::Row& w = f.shop->schedule[i];
            if (w.mass) mass = base::shortest(*w.mass);
            currency = w.cents ? f.shop->bill.currency : "";
            const auto amount = [&](shop::Cents c) { return w.cents ? base::shortest(shop::fromCents(c, currency)) : std::string(); };
            cost = amount(w.cents.value_or(0));
            from = amount(w.low);
            to = amount(w.high);
        }
        const job::CheckView* governing = m.governing ? &m.checks[*m.governing] : nullptr;
        const std::string utilisation = governing && governing->utilisation ? base::shortest(*governing->utilisation) : "";
        const std::string fields[] = {m.mark,
                                      countText(m.count),
                                      m.sectionShown,
                                      m.spanShown,
                                      governing ? governing->name : "",
                                      utilisation,
                                      std::string(stampText(stampOf(m.verdict))),
                                      m.purpose,
                                      m.sheetName,
                                      mass,
                                      cost,
                                      currency,
                                      from,
                                      to};
        bool first = true;
        for (const std::string& field : fields) {
            if (!first) out += ',';
            first = false;
            out += csvField(field);
        }
        out += '\n';
    }
    return out;
}

} // namespace spanwright::report
