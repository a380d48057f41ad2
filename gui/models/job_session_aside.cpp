// SPDX-License-Identifier: MIT
// Edits that are worked out aside: in a second copy of the job, on its own thread, while the first is shown.
#include <algorithm>
#include <utility>

#include "gui/models/job_session.h"
#include "gui/models/job_steps.h"
#include "gui/models/short_text.h"
#include "gui/models/text.h"
#include "gui/models/twin.h"
#include "gui/models/words.h"

namespace spanwright::models {

job::Job::Done applyTo(job::Job& job, const std::vector<TextDelta>& deltas, bool forward) {
    for (const TextDelta& delta : deltas) {
        // A sheet that was made is there from its first byte on.
        const std::optional<std::string> then = applied(delta, job.text(delta.file).value_or(std::string()), forward);
        Q_ASSERT(then);
        if (!then) continue;
        if (job::Job::Done done = job.setText(delta.file, *then); !done) return done;
    }
    return true;
}

std::function<void(JobCopy&)> stepOf(std::vector<TextDelta> deltas) {
    return [deltas = std::move(deltas)](JobCopy& copy) { (void)applyTo(*copy.job, deltas, true); };
}

namespace {

/// What one copy has written, the other need not write again: steps are taken while it only pretends to.
void followSave(JobCopy& copy) { (void)copy.job->save(); }

} // namespace

std::optional<std::string> JobSession::text(const std::string& file) const {
    if (m_isPending)
        if (const auto ahead = m_aheadTexts.find(file); ahead != m_aheadTexts.end()) return ahead->second;
    return m_copy.job->text(file);
}

std::vector<std::string> JobSession::filesTouched() const { return m_isPending ? m_aheadTouched : m_copy.job->filesTouched(); }

bool JobSession::outOfDate(CellId cell) const {
    if (!m_isPending) return false;
    if (m_allOld) return true;
    return cell.member < m_old.size() && cell.quantity.index() < m_old[cell.member].size() && m_old[cell.member][cell.quantity.index()] != 0;
}

bool JobSession::outOfDate(std::size_t member) const { return m_isPending && (m_allOld || (member < m_old.size() && !m_old[member].empty())); }

std::optional<QString> JobSession::typed(CellId cell) const {
    for (auto t = m_typed.rbegin(); t != m_typed.rend(); ++t)
        if (t->first == cell) return t->second;
    return {};
}

bool JobSession::isAside() const { return m_twin && m_twin->isOpen(); }

void JobSession::workAside() {
    if (m_twin || !isOpen()) return;
    // The other copy begins with what was read, and follows what was edited since.
    m_behind.clear();
    for (const std::string& file : m_copy.job->filesTouched())
        m_behind.push_back([file, now = m_copy.job->text(file).value_or(std::string())](JobCopy& copy) { (void)copy.job->setText(file, now); });
    m_twin = std::make_unique<Twin>([files = m_files.get(), library = toUtf8(m_library), path = toUtf8(m_path), bytes = m_bytes,
                                     stop = m_stop] { return openCopy(*files, library, path, bytes, stop, std::make_shared<LoadState>()); },
                                    m_stop,
                                    [this] {
                                        QMetaObject::invokeMethod(
                                            this, [this] { twinRests(); }, Qt::QueuedConnection);
                                    });
}

std::function<JobCopy(const std::shared_ptr<LoadState>&)> JobSession::otherCopy() const {
    std::vector<std::pair<std::string, std::string>> texts;
    for (const std::string& file : filesTouched()) texts.emplace_back(file, text(file).value_or(std::string()));
    return [files = m_files.get(), library = toUtf8(m_library), path = toUtf8(m_path), bytes = m_bytes,
            texts = std::move(texts)](const std::shared_ptr<LoadState>& state) {
        // Given up, it breaks off between two rows.
        JobCopy copy = openCopy(*files, library, path, bytes, std::shared_ptr<std::atomic<bool>>(state, &state->givenUp), state);
        if (state->givenUp) return copy;
        copy.files->pretend(true);
        for (const auto& [file, now] : texts) (void)copy.job->setText(file, now);
        copy.job->calculate();
        return copy;
    };
}

std::function<std::size_t(JobCopy&)> JobSession::following(const JobCopy& copy) const {
    if (!copy.job || !copy.files || !copy.files->isOf(m_bytes)) return {};
    std::vector<std::string> files = filesTouched();
    for (std::string& file : copy.job->filesTouched())
        if (std::find(files.begin(), files.end(), file) == files.end()) files.push_back(std::move(file));
    std::vector<std::pair<std::string, std::string>> texts;
    for (const std::string& file : files) {
        std::optional<std::string> now = text(file), then = copy.job->text(file);
        if (!now) return {};
        if (now != then) texts.emplace_back(file, std::move(*now));
    }
    return [texts = std::move(texts)](JobCopy& other) {
        for (const auto& [file, now] : texts) (void)other.job->setText(file, now);
        return other.job->calculate();
    };
}

void JobSession::readAgain(const std::string& path) {
    if (!m_bytes) return;
    const std::lock_guard<std::mutex> lock(m_bytes->mutex);
    std::erase_if(m_bytes->bytes, [&](const auto& known) { return known.first == path || known.first.ends_with("/" + path); });
}

Outcome JobSession::changeAside(const Change& change) {
    m_twin->interrupt();
    JobCopy& copy = m_twin->copy();
    job::Job& job = *copy.job;
    // Nothing is worked out on this thread.
    job.hold(true);
    copy.files->pretend(true);
    for (const auto& step : std::exchange(m_behind, {})) step(copy);
    copy.files->pretend(false);
    std::vector<std::pair<std::string, std::string>> before;
    std::vector<std::string> files = job.filesTouched();
    if (std::find(files.begin(), files.end(), toUtf8(m_path)) == files.end()) files.push_back(toUtf8(m_path));
    for (const std::string& file : files) before.emplace_back(file, job.text(file).value_or(std::string()));

    const job::Job::Done done = change.what(job);
    if (!done) {
        job.hold(false);
        startTwin();
        return Refusal{shortened(wordsOf(done.error().message)), shortened(wordsOf(done.error().mend))};
    }
    std::vector<TextDelta> deltas = differences(job, before);
    m_aheadTouched = job.filesTouched();
    m_aheadTexts.clear();
    for (const std::string& file : m_aheadTouched) m_aheadTexts[file] = job.text(file).value_or(std::string());
    // What is as it was read again has a text too.
    for (const auto& [file, text] : before)
        if (m_aheadTexts.count(file) == 0) m_aheadTexts[file] = job.text(file).value_or(std::string());
    job.hold(false);
    m_ahead.push_back(stepOf(deltas));
    if (change.members)
        for (const std::size_t m : *change.members) m_pendingMarks.push_back(m_shown[m].mark);
    else
        m_allTouched = true;
    startTwin();
    const bool quick = !m_isPending && m_patience.count() > 0 && m_twin->wait(m_patience) && m_twin->isComplete();
    if (!quick) pend(change);
    remember(change, std::move(deltas));
    if (quick) {
        arrive();
        return {};
    }
    std::vector<CellId> told = m_oldCells;
    if (m_allOld)
        for (std::size_t m = 0; m < m_shown.size(); ++m)
            for (std::size_t q = 0; q < m_shown[m].rows.size(); ++q) told.push_back({m, meaning::QuantityId(q)});
    m_oldCells = told;
    tellModified();
    Q_EMIT pendingChanged(true);
    if (!told.empty()) Q_EMIT cellsChanged(told);
    Q_EMIT settled();
    return {};
}

/// Says which of the values shown no longer hold.
void JobSession::pend(const Change& change) {
    // A second edit on top of one that is not worked out yet, or one of rows and members: what it reaches is not known.
    const bool known = !m_isPending && change.members && !change.typed.empty();
    if (!m_isPending) {
        m_old.assign(m_shown.size(), {});
        m_oldCells.clear();
        m_typed.clear();
        m_allOld = false;
    }
    m_isPending = true;
    m_allOld = m_allOld || !known;
    m_typed.insert(m_typed.end(), change.typed.begin(), change.typed.end());
    if (m_allOld) return;
    const auto mark = [this](CellId cell) {
        if (cell.member >= m_shown.size()) return;
        std::vector<char>& rows = m_old[cell.member];
        rows.resize(m_shown[cell.member].rows.size(), 0);
        if (cell.quantity.index() >= rows.size() || std::exchange(rows[cell.quantity.index()], 1) != 0) return;
        m_oldCells.push_back(cell);
    };
    for (const auto& [cell, text] : change.typed) {
        mark(cell);
        for (const auto& [member, id] : m_copy.job->downstream(cell.member, cell.quantity)) mark({member, id});
        // No value of theirs need change, but their verdicts may.
        for (const std::size_t member : m_copy.job->takers(cell.member))
            if (member < m_shown.size()) m_old[member].resize(m_shown[member].rows.size(), 0);
    }
}

void JobSession::startTwin() { m_twin->work(std::exchange(m_behind, {})); }

/// The other copy has come to rest.
void JobSession::twinRests() {
    if (!m_twin || !m_twin->isIdle()) return; // it was given more to do: its end will be told too
    if (!m_ahead.empty()) {
        if (m_twin->isComplete())
            arrive();
        else
            startTwin();
    } else if (!m_behind.empty() || !m_twin->isComplete()) {
        startTwin();
    }
}

/// The other copy is up to date: it is shown from now on, and the one that was shown catches up.
void JobSession::arrive() {
    std::swap(m_copy, m_twin->copy());
    m_behind = std::exchange(m_ahead, {});
    std::set<std::string> touched = m_twin->takeTouched();
    startTwin();
    const bool wasPending = std::exchange(m_isPending, false);
    m_typed.clear();
    m_aheadTexts.clear();
    m_allOld = false;
    for (const std::string& mark : std::exchange(m_pendingMarks, {})) touched.insert(mark);
    if (wasPending) Q_EMIT pendingChanged(false);
    if (std::exchange(m_allTouched, false))
        takeInAll();
    else
        tellTouched({touched.begin(), touched.end()});
}

void JobSession::finish() {
    while (m_isPending) {
        m_twin->waitForEver();
        twinRests();
    }
}

Outcome JobSession::save() {
    if (m_give) m_give();
    // An edit that is still being worked out is in the other copy's texts only.
    const bool ahead = m_isPending;
    if (ahead) m_twin->interrupt();
    job::Job& job = ahead ? *m_twin->copy().job : *m_copy.job;
    job.hold(true);
    const auto done = job.save();
    job.hold(false);
    if (m_twin && done) (ahead ? m_ahead : m_behind).push_back(followSave);
    if (ahead) {
        m_aheadTouched = job.filesTouched();
        startTwin();
    } else if (m_twin && m_twin->isOpen() && m_twin->isIdle()) {
        startTwin();
    }
    if (!done)
        return Refusal{tr("%1 could not be saved: %2").arg(fromUtf8(done.error().path), fromUtf8(done.error().message)),
                       tr("the text is still here and unsaved; mend the place and save again, or save it elsewhere")};
    m_undo.setClean();
    tellModified();
    Q_EMIT saved();
    return {};
}

} // namespace spanwright::models
