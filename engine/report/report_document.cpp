// SPDX-License-Identifier: MIT
#include <algorithm>
#include <set>

#include "engine/report/build.h"
#include "engine/report/shop_pages.h"

namespace spanwright::report {

namespace {

/// Walks through all lines of a document.
class Unlinker {
public:
    void run(Document& d) {
        for (const Section& s : d.sections) {
            m_ids.insert(s.id);
            for (const Block& b : s.blocks) note(b);
        }
        for (Section& s : d.sections) {
            for (Block& b : s.blocks) mend(b);
        }
    }

private:
    std::set<std::string> m_ids;

    void note(const Block& b) {
        if (const auto* h = std::get_if<Heading>(&b.is)) m_ids.insert(h->id);
        if (const auto* c = std::get_if<CalcLine>(&b.is)) {
            m_ids.insert(c->id);
            for (const Block& in : c->calculation) note(in);
        }
        if (const auto* f = std::get_if<Framed>(&b.is)) {
            for (const Block& in : f->blocks) note(in);
        }
    }
    void mend(Inlines& line) const {
        for (Inline& i : line) {
            if (i.target.empty() || m_ids.count(i.target) > 0) continue;
            if (i.kind == Inline::Kind::Link) i = plainText(i.text);
            i.target.clear();
        }
    }
    void mend(std::vector<Bullets::Item>& items) const {
        for (Bullets::Item& i : items) {
            mend(i.text);
            mend(i.below);
        }
    }
    void mend(Block& b) const {
        if (auto* h = std::get_if<Heading>(&b.is)) mend(h->text);
        if (auto* p = std::get_if<Paragraph>(&b.is)) mend(p->text);
        if (auto* l = std::get_if<Bullets>(&b.is)) mend(l->items);
        if (auto* t = std::get_if<Table>(&b.is)) {
            for (auto& row : t->rows) {
                for (Inlines& cell : row) mend(cell);
            }
        }
        if (auto* c = std::get_if<CalcLine>(&b.is)) {
            mend(c->reference);
            for (Block& in : c->calculation) mend(in);
            for (Inlines& r : c->result) mend(r);
        }
        if (auto* f = std::get_if<Framed>(&b.is)) {
            for (Block& in : f->blocks) mend(in);
        }
    }
};

/// Links to what is not printed become plain words.
void unlink(Document& d) { Unlinker{}.run(d); }

} // namespace

std::string memberId(std::size_t member) { return "m" + std::to_string(member + 1); }
std::string rowId(std::size_t member, std::size_t row) { return memberId(member) + "-r" + std::to_string(row + 1); }

std::optional<std::size_t> rowNamed(const MemberFacts& m, std::string_view name) {
    for (std::size_t i = 0; i < m.rows.size(); ++i)
        if (m.rows[i].view.name == name) return i;
    return std::nullopt;
}

bool holds(const ReportScope& scope, std::size_t member) {
    return scope.members.empty() || std::find(scope.members.begin(), scope.members.end(), member) != scope.members.end();
}

Document reportDocument(const JobFacts& f, const ReportScope& scope) {
    Document d;
    d.title = f.cover.title.empty() ? f.file : f.cover.title;
    d.fingerprint = f.fingerprint;
    d.identity = d.title + (f.cover.revision.empty() ? "" : ", revision " + f.cover.revision) + (f.cover.date.empty() ? "" : ", " + f.cover.date);
    d.author = f.cover.author;
    d.date = f.cover.date;
    d.sections = {coverSection(f, scope), contentsSection(f, scope), basisSection(f, scope)};
    if (scope.brief)
        d.sections.push_back(briefSection(f, scope));
    else {
        for (std::size_t i = 0; i < f.members.size(); ++i) {
            if (holds(scope, i)) d.sections.push_back(memberSection(f, i));
        }
    }
    if (!f.trials.empty() && !scope.brief && scope.members.empty()) d.sections.push_back(trialsSection(f));
    // The workshop's pages are of the whole job; a brief is for who checks, not for who builds.
    if (f.shop && f.shop->rows.any && !scope.brief && scope.members.empty())
        for (Section& s : shopSections(*f.shop)) d.sections.push_back(std::move(s));
    std::string editions;
    for (const std::string& e : editionsOf(f)) editions += (editions.empty() ? "" : "; ") + e;
    for (Section& s : d.sections) {
        if (s.running.empty()) s.running = editions.empty() ? "no basis stated" : editions;
    }
    unlink(d);
    return d;
}

} // namespace spanwright::report
