// SPDX-License-Identifier: MIT
// Remarks on values and their answers, and taking ticks back. Each is an edit of the job's text.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/job/core.h"
#include "engine/job/job_text.h"

namespace spanwright::job {

using diag::Code;
using syntax::RowKind;

namespace {

/// The row that says it, or why it would not read back as what it says.
base::Result<std::string, diag::Diagnostic> remarkRow(std::string_view word, const std::string& mark, const std::string& name, std::string_view by,
                                                      std::string_view on, std::string_view words) {
    const std::string who(base::trimmed(by)), day(base::trimmed(on)), text(base::trimmed(words));
    const std::string row = std::string(word) + "  " + mark + "." + name + " by " + who + " on " + day + ": " + text;
    if (row.find_first_of("\r\n") != std::string::npos || row.find('\0') != std::string::npos || !base::isUtf8(row) || text.empty())
        return refuse(Code::ValueMalformed, text.empty() ? "the " + std::string(word) + " says nothing" : "it must stand on one line",
                      "write one line of words", mark);
    const auto trial = syntax::Document::read("remark", syntax::FileKind::Job, row);
    const bool reads = !who.empty() && !day.empty() && trial.rows().size() == 1 && trial.rows()[0].kind == RowKind::Remark &&
                       trial.rows()[0]->complaints.empty() && trial.rows()[0]->by.text == who && trial.rows()[0]->on.text == day &&
                       trial.rows()[0]->rest.text == text && trial.rows()[0]->name.text == name;
    if (!reads)
        return refuse(Code::ValueMalformed, "it needs initials and a date, such as AB and 2026-05-04",
                      "write them without blanks, dashes or colons around them", mark);
    return row;
}

} // namespace

Job::Done Job::addRemark(std::string_view mark, std::string_view name, std::string_view by, std::string_view on, std::string_view words) {
    if (isSingleSheet()) return refuse(Code::NotSettable, "a sheet that stands alone holds no remarks", "use the sheet in a job and remark on the value there");
    const auto index = memberByMark(mark);
    if (!index) return noMember(mark);
    const std::string canonical = syntax::canonicalName(name);
    const auto& quantities = sheet(*index).quantities;
    if (canonical.empty() || std::none_of(quantities.begin(), quantities.end(), [&](const meaning::Quantity& q) { return q.name == canonical; }))
        return refuse(Code::UnknownName, std::string(mark) + " has no value `" + std::string(name) + "`", "remark on one of its rows", mark);
    const auto row = remarkRow("remark", member(*index).mark, canonical, by, on, words);
    if (!row) return base::Failure{row.error()};
    syntax::Document d = documentOf(*this);
    auto at = static_cast<std::uint32_t>(d.rows().size());
    for (std::uint32_t i = 0; i < d.rows().size(); ++i)
        if (d.rows()[i].kind == RowKind::Tick || d.rows()[i].kind == RowKind::Remark) at = i + 1;
    putBefore(d, at, row.value() + lineEndOf(d));
    return setText(path(), d.text());
}

Job::Done Job::answerRemark(std::size_t index, std::string_view by, std::string_view on, std::string_view words) {
    const std::vector<RemarkView>& all = remarks();
    if (index >= all.size()) return refuse(Code::UnknownName, "there is no such remark", "answer one that is there");
    const RemarkView asked = all[index];
    const auto row = remarkRow("answer", asked.member, asked.name, by, on, words);
    if (!row) return base::Failure{row.error()};
    // Behind the answers that there are already.
    std::uint32_t last = asked.row;
    for (std::size_t i = index + 1; i < all.size(); ++i) {
        if (all[i].member != asked.member || all[i].name != asked.name) continue;
        if (!all[i].answer) break;
        last = all[i].row;
    }
    syntax::Document d = documentOf(*this);
    putBefore(d, last + 1, row.value() + lineEndOf(d));
    return setText(path(), d.text());
}

Job::Done Job::removeRemark(std::size_t index) {
    const std::vector<RemarkView>& all = remarks();
    if (index >= all.size()) return refuse(Code::UnknownName, "there is no such remark", "take out one that is there");
    std::vector<std::uint32_t> rows{all[index].row};
    for (std::size_t i = index + 1; i < all.size() && !all[index].answer; ++i) {
        if (all[i].member != all[index].member || all[i].name != all[index].name) continue;
        if (!all[i].answer) break;
        rows.push_back(all[i].row);
    }
    syntax::Document d = documentOf(*this);
    for (auto row = rows.rbegin(); row != rows.rend(); ++row) d.erase(*row, 1);
    return setText(path(), d.text());
}

Job::Done Job::removeTick(std::string_view mark, std::string_view name) {
    const std::string canonical = syntax::canonicalName(name);
    syntax::Document d = documentOf(*this);
    bool found = false;
    for (auto i = static_cast<std::uint32_t>(d.rows().size()); i-- > 0;) {
        const syntax::Row& row = d.rows()[i];
        if (row.kind != RowKind::Tick || row->member.text != mark || row->name.text != canonical) continue;
        d.erase(i, 1);
        found = true;
    }
    if (!found) return refuse(Code::TickBroken, "`" + std::string(mark) + "." + canonical + "` is not ticked", {}, mark);
    return setText(path(), d.text());
}

} // namespace spanwright::job
