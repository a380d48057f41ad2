// SPDX-License-Identifier: MIT
// The ready sheets, and a job that begins with one of them.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/job/core.h"

namespace spanwright::job {

namespace {

constexpr std::string_view kEnding = ".spansheet";

/// A limit as it may be read back by a person: "0.5 to 10 kN/m^2".
std::string rangeOf(const syntax::Row& row) {
    const auto text = [&](const syntax::Formula& f) { return std::string(base::trimmed(f.span.of(row.text))); };
    const syntax::Limits& l = row->limits;
    if (l.low.present() && l.high.present()) return "from " + text(l.low) + " to " + text(l.high);
    if (l.low.present()) return "from " + text(l.low);
    if (l.high.present()) return "up to " + text(l.high);
    return {};
}

} // namespace

std::vector<ReadySheet> readySheets(const io::Files& files, const std::string& library) {
    std::vector<ReadySheet> out;
    for (const std::string& file : files.list(library)) {
        if (file.size() <= kEnding.size() || file.compare(file.size() - kEnding.size(), kEnding.size(), kEnding) != 0) continue;
        const auto path = io::pathBelow(library, file);
        if (!path.ok()) continue;
        auto bytes = files.read(path.value());
        if (!bytes.ok() || !base::isUtf8(bytes.value())) continue;
        const auto document = syntax::Document::read(path.value(), syntax::FileKind::Sheet, std::move(bytes).value());
        ReadySheet sheet;
        sheet.name = file.substr(0, file.size() - kEnding.size());
        for (const syntax::Row& row : document.rows()) {
            if (row.kind == syntax::RowKind::Title && sheet.title.empty()) sheet.title = row->rest.text;
            if (row.kind == syntax::RowKind::Basis && row->rest.present()) sheet.basis.push_back(row->rest.text);
        }
        out.push_back(std::move(sheet));
    }
    std::sort(out.begin(), out.end(), [](const ReadySheet& a, const ReadySheet& b) { return a.name < b.name; });
    return out;
}

base::Result<std::string, diag::Diagnostic> startJob(io::Files& files, const std::string& sheetName, const Options& options) {
    Core core(files, "start.spanjob", options);
    std::vector<diag::Diagnostic> problems;
    SheetEntry* entry = core.sheetNamed(sheetName, {}, {}, problems);
    if (entry == nullptr) return base::Failure{problems.front()};
    const meaning::Sheet& sheet = *entry->sheet;
    const auto& rows = sheet.document->rows();
    std::string out = "job     \nauthor  \nchecker \nrevision\ndate    \nplace   \n\n";
    out += "# Each ? is a value that the sheet asks for; what it is and what it may be stands behind it.\n";
    out += "member  M1 = " + sheetName + (sheet.title.empty() ? "" : " -- " + sheet.title) + "\n        off   1\n";
    std::size_t longest = 0;
    const auto asked = [&](const meaning::Quantity& q) {
        // A name that is asked for in a part and again behind its `otherwise` is stated once.
        const meaning::Quantity* whole = sheet.find(q.name);
        if (whole != nullptr && whole->kind == Kind::Switch && q.id == whole->whenFalse && sheet.at(whole->whenTrue).kind == q.kind) return false;
        return q.kind == Kind::Ask || (q.kind == Kind::Choose && !q.defaultRow && !rows[q.row]->key.present());
    };
    for (const meaning::Quantity& q : sheet.quantities)
        if (asked(q)) longest = std::max(longest, q.name.size());
    for (const meaning::Quantity& q : sheet.quantities) {
        if (!asked(q)) continue;
        std::string about = q.what;
        const auto add = [&](const std::string& more) {
            if (!more.empty()) about += (about.empty() ? "" : ", ") + more;
        };
        if (q.kind == Kind::Choose) {
            std::string keys;
            for (std::uint32_t r = 0; q.table && r < q.table->rowCount(); ++r) {
                if (r == 12) {
                    keys += " ...";
                    break;
                }
                keys += (r > 0 ? " | " : "") + q.table->rowLabel(r);
            }
            add(keys);
        } else {
            add(q.unit.ascii.empty() ? "a number" : "in " + q.unit.ascii);
            add(rangeOf(rows[q.row]));
        }
        out += "        with  " + q.name + std::string(longest - q.name.size(), ' ') + " = ?   -- " + about + "\n";
    }
    return out;
}

} // namespace spanwright::job
