// SPDX-License-Identifier: MIT
#include "engine/job/job.h"

#include <algorithm>

#include "engine/job/core.h"

namespace spanwright::job {

Job::Job() = default;
Job::~Job() = default;

std::unique_ptr<Job> Job::open(io::Files& files, const std::string& path, const Options& options) {
    std::unique_ptr<Job> job(new Job());
    job->m_impl = std::make_unique<Impl>(files, path, options);
    job->m_impl->core.open();
    return job;
}

bool Job::isSingleSheet() const { return m_impl->core.m_single; }
const std::string& Job::path() const { return m_impl->core.m_path; }
const Cover& Job::cover() const { return m_impl->core.m_cover; }
std::size_t Job::memberCount() const { return m_impl->core.m_order.size(); }

std::optional<std::size_t> Job::memberByMark(std::string_view mark) const {
    const auto slot = m_impl->core.slotOf(mark);
    if (!slot) return std::nullopt;
    return m_impl->core.at(*slot).place;
}

const MemberView& Job::member(std::size_t index) const {
    Core& core = m_impl->current();
    return core.view(core.m_order[index]);
}

const std::vector<TickView>& Job::ticks() const { return m_impl->current().ticks(); }
const std::vector<RemarkView>& Job::remarks() const { return m_impl->core.m_remarks; }
Verdict Job::verdict() const { return m_impl->current().verdict(); }
std::vector<diag::Diagnostic> Job::diagnostics() const { return m_impl->current().diagnostics(); }

diag::Resolver Job::resolver() const {
    const Core* core = &m_impl->core;
    return [core](const diag::Place& place) { return core->resolve(place); };
}

std::string Job::fingerprint() const { return m_impl->core.fingerprint(); }

int Job::exitStatus() const {
    switch (verdict()) {
    case Verdict::Ok: return 0;
    case Verdict::NotComputed: return 1;
    case Verdict::NotProven:
    case Verdict::Fails: return 3;
    }
    return 1;
}

const eval::Value& Job::value(std::size_t member, QuantityId id) const {
    Core& core = m_impl->current();
    return core.valueOf({core.m_order[member], id.value});
}

const meaning::Sheet& Job::sheet(std::size_t member) const {
    static const meaning::Sheet kNone{};
    Core& core = m_impl->core;
    const Member& m = core.at(core.m_order[member]);
    if (m.sheet == nullptr || !m.sheet->sheet) return kNone;
    core.catchUp(*m.sheet);
    return *m.sheet->sheet;
}

Working Job::working(std::size_t member, QuantityId id, std::optional<std::size_t> caseIndex) const {
    const meaning::Quantity& q = sheet(member).at(id);
    Core& core = m_impl->current();
    return core.working(core.m_order[member], q, caseIndex);
}

std::string Job::letters(std::size_t member, QuantityId id) const {
    Core& core = m_impl->current();
    return core.letters({core.m_order[member], id.value});
}

std::vector<std::string> Job::caseLabels(std::size_t member, QuantityId id) const {
    const meaning::Quantity& q = sheet(member).at(id);
    Core& core = m_impl->current();
    return core.caseLabels(core.m_order[member], q.axes);
}

std::optional<PlotView> Job::plot(std::size_t member, QuantityId plotRow, int points) const {
    const meaning::Quantity& q = sheet(member).at(plotRow);
    Core& core = m_impl->current();
    return core.plot(core.m_order[member], q, points);
}

std::vector<PlotView> Job::curves(std::size_t member, QuantityId id, std::optional<std::size_t> caseIndex) const {
    const meaning::Quantity& q = sheet(member).at(id);
    Core& core = m_impl->current();
    return core.curves(core.m_order[member], q, caseIndex);
}

std::optional<SketchView> Job::sketch(std::size_t member, QuantityId sketchRow) const {
    const meaning::Quantity& q = sheet(member).at(sketchRow);
    Core& core = m_impl->current();
    return core.sketch(core.m_order[member], q);
}

PieceList Job::pieces(std::size_t member) const {
    Core& core = m_impl->current();
    return core.pieces(core.m_order[member]);
}
const syntax::Document& Job::document() const { return m_impl->core.m_document; }
const std::vector<meaning::Rate>& Job::rates() const { return m_impl->core.m_rates; }
base::Result<std::string, diag::Diagnostic> Job::readBeside(const std::string& path, const diag::Place& where) const {
    return m_impl->core.readBeside(path, where);
}

std::optional<ListView> Job::list(std::size_t member, QuantityId id) const {
    const meaning::Quantity& q = sheet(member).at(id);
    return m_impl->core.list(m_impl->core.m_order[member], q);
}

std::vector<std::string> Job::givenNames() const {
    std::vector<std::string> out;
    for (const JobGiven& g : m_impl->core.m_givens)
        if (!g.gone) out.push_back(g.quantity.name);
    return out;
}

base::Result<Extract, diag::Diagnostic> Job::extract(const std::vector<ValueName>& varied, ExtractCache& kept) const {
    return m_impl->current().extract(varied, kept);
}

Job::Done Job::setValue(std::string_view mark, std::string_view name, std::string_view valueText) { return m_impl->core.setValue(mark, name, valueText); }
Job::Done Job::override(std::string_view mark, std::string_view name, std::string_view valueText) { return m_impl->core.override(mark, name, valueText); }
Job::Done Job::setJobGiven(std::string_view name, std::string_view valueText) { return m_impl->core.setJobGiven(name, valueText, true); }
Job::Done Job::addTick(std::string_view mark, std::string_view name, std::string_view by, std::string_view on) {
    return m_impl->core.addTick(mark, name, by, on);
}
Job::Done Job::setSource(std::string_view mark, std::string_view name, std::string_view words) { return m_impl->core.setSource(mark, name, words); }
Job::Done Job::setText(const std::string& file, std::string text) { return m_impl->core.setText(file, std::move(text)); }
bool Job::isReady(const std::string& file) const {
    const SheetEntry* entry = m_impl->core.sheetAt(file);
    const Options& options = m_impl->core.m_options;
    return entry != nullptr ? entry->ofLibrary : !options.library.empty() && io::isBelow(options.library, file);
}
RowTrial Job::tryRow(const std::string& file, std::uint32_t before, std::string_view row, std::optional<std::uint32_t> replaced) const {
    return m_impl->core.tryRow(file, before, row, replaced);
}
std::vector<std::string> Job::filesTouched() const { return m_impl->core.filesTouched(); }
std::optional<std::string> Job::text(const std::string& file) const { return m_impl->core.text(file); }
base::Result<bool, io::IoError> Job::save() { return m_impl->core.save(); }

std::size_t Job::calculate() const { return m_impl->core.calculateNow(); }
void Job::hold(bool on) { m_impl->core.m_held = on; }

std::vector<std::pair<std::size_t, QuantityId>> Job::downstream(std::size_t member, QuantityId id) const {
    const Core& core = m_impl->core;
    std::vector<std::pair<std::size_t, QuantityId>> out;
    for (const graph::NodeId node : core.m_graph.downstream(core.nodeOf({core.m_order[member], id.value})))
        if (const Ref r = core.m_owners[node.index()]; r.slot < core.m_members.size()) out.emplace_back(core.at(r.slot).place, QuantityId(r.quantity));
    return out;
}
std::vector<std::size_t> Job::takers(std::size_t member) const {
    const Core& core = m_impl->core;
    std::vector<std::size_t> out;
    for (std::size_t i = 0; i < core.m_order.size(); ++i) {
        const std::vector<std::uint32_t> sources = core.sourcesOf(core.m_order[i]);
        if (std::find(sources.begin(), sources.end(), core.m_order[member]) != sources.end()) out.push_back(i);
    }
    return out;
}
void Job::keepLog(bool on) { m_impl->core.m_keepLog = on; }
const std::vector<std::string>& Job::log() const { return m_impl->core.m_log; }

} // namespace spanwright::job
