// SPDX-License-Identifier: MIT
#include "gui/models/live_workshop.h"

#include <QDir>
#include <QFileInfo>

#include <algorithm>
#include <utility>

#include "gui/models/text.h"

namespace spanwright::models {

namespace {

using namespace std::chrono_literals;

constexpr auto kPatience = 250ms;       // behind the last of several edits
constexpr auto kPagesPatience = 1500ms; // pages cost more than plans

std::vector<ScheduleLine> linesOf(const job::Job& job, const shop::Workshop& w, bool costed) {
    std::vector<ScheduleLine> out;
    for (const shop::Workshop::Row& r : w.schedule) {
        const job::MemberView& view = job.member(r.index);
        ScheduleLine l;
        l.mark = view.mark;
        l.purpose = fromUtf8(view.purpose.empty() ? view.sheetTitle : view.purpose);
        l.sheet = fromUtf8(view.sheetName);
        l.count = QString::number(view.count);
        l.off = view.count;
        l.section = fromUtf8(view.sectionShown);
        l.span = fromUtf8(view.spanShown);
        l.insteadOf = fromUtf8(view.insteadOf);
        l.verdict = view.verdict;
        if (view.governing) {
            l.governing = fromUtf8(view.checks[*view.governing].name);
            l.utilisation = view.checks[*view.governing].utilisation;
        }
        l.mass = r.mass;
        for (const shop::BuiltMember& m : w.parts.members)
            if (m.index == r.index) l.nothing = !m.cut && m.whole;
        l.cents = r.cents;
        l.low = r.low;
        l.high = r.high;
        l.proven = r.proven;
        l.costed = costed;
        out.push_back(std::move(l));
    }
    return out;
}

} // namespace

std::vector<std::pair<std::string, std::string>> textsNow(const JobSession& session) {
    std::vector<std::pair<std::string, std::string>> out;
    if (!session.isOpen()) return out;
    out.emplace_back("", toUtf8(session.path()));
    const std::string own = toUtf8(session.path());
    out.emplace_back(own, session.text(own).value_or(std::string()));
    for (const std::string& file : session.filesTouched())
        if (file != own) out.emplace_back(file, session.text(file).value_or(std::string()));
    return out;
}

/// One working out, shared by its thread and the window's.
struct LiveWorkshop::Run {
    std::shared_ptr<LoadState> load = std::make_shared<LoadState>();
    std::atomic<bool> enough{false};                                ///< the best so far will do
    std::function<JobCopy(const std::shared_ptr<LoadState>&)> open; ///< where there is no copy to go on with
    std::function<std::size_t(JobCopy&)> follow;                    ///< where there is
    int seconds = 4;
    // The thread's until it is told of.
    std::shared_ptr<const shop::Workshop> prepared, done;
    std::vector<ScheduleLine> preparedLines, lines;
    std::shared_ptr<JobCopy> copy; ///< null while it is worth nothing
    std::optional<std::size_t> workedOut;
    // Told while the thread goes on.
    std::mutex mutex;
    std::vector<shop::PlanSoFar> better;
    bool told = false;
};

LiveWorkshop::LiveWorkshop(JobSession& session, QObject* parent) : QObject(parent), m_session(session) {
    m_soon.setSingleShot(true);
    m_soon.setInterval(kPatience);
    connect(&m_soon, &QTimer::timeout, this, &LiveWorkshop::begin);
    m_pagesSoon.setSingleShot(true);
    m_pagesSoon.setInterval(kPagesPatience);
    connect(&m_pagesSoon, &QTimer::timeout, this, &LiveWorkshop::startPages);
    connect(&m_session, &JobSession::reset, this, [this] { look(true); });
    connect(&m_session, &JobSession::settled, this, [this] { look(false); });
    connect(&m_prices, &FileWatch::changed, this, [this] {
        m_session.readAgain(toUtf8(m_priceFile));
        m_copy.reset(); // it has read the old ones
        again();
    });
}

LiveWorkshop::~LiveWorkshop() {
    giveUp();
    stopPages();
    if (m_thread.joinable()) m_thread.join();
    if (m_pagesThread.joinable()) m_pagesThread.join();
}

bool LiveWorkshop::isPossible() const { return m_session.isOpen() && !m_session.job().isSingleSheet(); }

/// The job may have changed; it was read anew or has other members if `certainly`.
void LiveWorkshop::look(bool certainly) {
    auto now = textsNow(m_session);
    if (now == m_texts && !certainly) return;
    // Another file: what was made of the old one is nothing that is out of date.
    if (m_texts.empty() || now.empty() || m_texts.front() != now.front()) {
        m_workshop.reset();
        m_lines.clear();
    }
    m_texts = std::move(now);
    m_outOfDate = m_workshop || !m_lines.empty();
    m_pages.clear();
    stopPages();
    giveUp();
    m_prepared.reset();
    m_soFar.clear();
    if (m_wanted && isPossible()) m_soon.start();
    Q_EMIT changed();
}

void LiveWorkshop::setWanted(bool wanted) {
    if (m_wanted == wanted) return;
    m_wanted = wanted;
    if (!wanted) {
        m_soon.stop();
        giveUp();
        stopPages();
        return;
    }
    if ((!m_workshop || m_outOfDate) && isPossible()) {
        m_texts = textsNow(m_session);
        begin();
    }
}

void LiveWorkshop::setSeconds(int seconds) {
    seconds = std::clamp(seconds, 1, 600);
    if (m_seconds == seconds) return;
    m_seconds = seconds;
    // More time may find a better plan; less is for the next one.
    const bool open = m_workshop && std::any_of(m_workshop->plan.groups.begin(), m_workshop->plan.groups.end(), [](const auto& g) { return !g.proven; });
    if (m_wanted && (open || m_run)) again();
}

void LiveWorkshop::stop() {
    if (!m_run || m_run->load->givenUp) return;
    m_run->enough = true;
    m_stopped = true;
}

void LiveWorkshop::again() {
    if (!isPossible()) return;
    m_texts = textsNow(m_session);
    m_outOfDate = m_workshop != nullptr;
    m_pages.clear();
    stopPages();
    giveUp();
    if (m_wanted) begin();
}

void LiveWorkshop::setPagesWanted(bool wanted) {
    m_pagesWanted = wanted;
    if (wanted && m_pages.empty() && m_workshop && !m_outOfDate && !m_pagesGoing) m_pagesSoon.start();
}

void LiveWorkshop::giveUp() {
    m_again = false;
    if (!m_run) return;
    m_run->load->givenUp = true;
    m_run->enough = true;
}

void LiveWorkshop::begin() {
    if (!m_wanted || !isPossible()) return;
    if (m_run) { // it has been given up and is on its way out
        giveUp();
        m_again = true;
        return;
    }
    if (m_thread.joinable()) m_thread.join();
    m_stopped = false;
    m_prepared.reset();
    m_soFar.clear();
    m_phase = Phase::Reads;
    m_run = std::make_shared<Run>();
    // The copy of the last run goes on, unless something else still reads it.
    if (m_copy && !m_pagesGoing) m_run->follow = m_session.following(*m_copy);
    if (m_run->follow) {
        m_run->copy = std::move(m_copy);
        m_run->load = m_copyLoad;
        m_run->load->givenUp = false;
    } else {
        m_run->open = m_session.otherCopy();
    }
    m_copy.reset();
    m_run->seconds = m_seconds;
    m_thread = std::thread([this, run = m_run] { work(run); });
    Q_EMIT changed();
}

/// On the thread of a run.
void LiveWorkshop::work(const std::shared_ptr<Run>& run) {
    const auto post = [this, run](void (LiveWorkshop::*what)(const std::shared_ptr<Run>&)) {
        QMetaObject::invokeMethod(
            this, [this, run, what] { (this->*what)(run); }, Qt::QueuedConnection);
    };
    std::shared_ptr<JobCopy> copy = run->copy;
    if (run->follow) {
        run->workedOut = run->follow(*copy);
    } else {
        copy = std::make_shared<JobCopy>(run->open(run->load));
        if (!run->load->givenUp) run->copy = copy;
    }
    if (!run->load->givenUp) {
        shop::WorkshopOptions options;
        options.plan.effort = shop::effortOfSeconds(run->seconds);
        options.plan.effort.cancelled = [run] { return run->enough.load(std::memory_order_relaxed); };
        options.prepared = [&](const shop::Workshop& soFar) {
            run->prepared = std::make_shared<const shop::Workshop>(soFar);
            run->preparedLines = linesOf(*copy->job, soFar, false);
            post(&LiveWorkshop::takePrepared);
        };
        options.plan.better = [&](const shop::PlanSoFar& now) {
            const std::lock_guard<std::mutex> lock(run->mutex);
            const auto same = std::find_if(run->better.begin(), run->better.end(), [&](const auto& g) { return g.group == now.group; });
            if (same == run->better.end())
                run->better.push_back(now);
            else
                *same = now;
            if (!std::exchange(run->told, true)) post(&LiveWorkshop::takeBetter);
        };
        auto done = std::make_shared<shop::Workshop>(shop::work(*copy->job, options));
        if (!run->load->givenUp) {
            run->lines = linesOf(*copy->job, *done, true);
            run->done = std::move(done);
        }
    }
    post(&LiveWorkshop::takeDone);
}

void LiveWorkshop::takePrepared(const std::shared_ptr<Run>& run) {
    if (run != m_run || run->load->givenUp) return;
    m_phase = Phase::Plans;
    m_prepared = run->prepared;
    m_lines = run->preparedLines;
    Q_EMIT changed();
}

void LiveWorkshop::takeBetter(const std::shared_ptr<Run>& run) {
    {
        const std::lock_guard<std::mutex> lock(run->mutex);
        run->told = false;
        if (run != m_run || run->load->givenUp || !m_prepared) return;
        m_soFar = run->better;
    }
    Q_EMIT betterPlan();
}

void LiveWorkshop::takeDone(const std::shared_ptr<Run>& run) {
    if (run != m_run) return;
    m_run.reset();
    m_phase = Phase::Rests;
    const bool again = std::exchange(m_again, false);
    m_prepared.reset();
    m_soFar.clear();
    m_copy = run->copy;
    m_copyLoad = run->load;
    m_workedOut = run->workedOut;
    if (run->done && !run->load->givenUp) {
        m_workshop = run->done;
        m_lines = run->lines;
        m_outOfDate = false;
        watch();
        if (m_pagesWanted) m_pagesSoon.start();
    } else {
        m_outOfDate = m_workshop || !m_lines.empty(); // lines may be of what was begun
    }
    if (again) {
        begin();
        return;
    }
    Q_EMIT changed();
}

/// A file of prices that another program changes makes costs out of date.
void LiveWorkshop::watch() {
    const std::string& file = m_workshop->rows.priceFile;
    m_priceFile = file.empty() ? QString() : QFileInfo(m_session.path()).absoluteDir().filePath(fromUtf8(file));
    m_prices.look(m_priceFile.isEmpty() ? QStringList() : QStringList{m_priceFile});
}

// ---- pages of the printed calculation

void LiveWorkshop::stopPages() {
    m_pagesSoon.stop();
    if (m_pagesStop) *m_pagesStop = true;
}

void LiveWorkshop::startPages() {
    if (!m_pager || !m_pagesWanted || !m_wanted || m_outOfDate || !m_copy || m_run) return;
    if (m_pagesGoing) { // the old ones are being given up
        m_pagesSoon.start();
        return;
    }
    if (m_pagesThread.joinable()) m_pagesThread.join();
    m_pagesStop = std::make_shared<std::atomic<bool>>(false);
    m_pagesGoing = true;
    m_pagesThread = std::thread([this, pager = m_pager, copy = m_copy, w = m_workshop, stop = m_pagesStop] {
        std::vector<int> pages = pager(*copy->job, *w, [stop] { return stop->load(std::memory_order_relaxed); });
        QMetaObject::invokeMethod(
            this,
            [this, stop, pages = std::move(pages)] {
                m_pagesGoing = false;
                if (*stop || pages.size() != m_lines.size()) return;
                m_pages = pages;
                Q_EMIT pagesChanged();
            },
            Qt::QueuedConnection);
    });
}

} // namespace spanwright::models
