// SPDX-License-Identifier: MIT
#include "gui/app/paper_maker.h"

#include <utility>

#include "engine/trial/pinned.h"
#include "gui/app/load_dialog.h"
#include "gui/models/text.h"

namespace spanwright::app {

using models::AsideRun;
using models::fromUtf8;

namespace {

constexpr int kOften = 80; // milliseconds, of looking how far reading is

std::vector<trial::PinnedResult> workTrials(const job::Job& job, const trial::Control& control, const std::atomic<bool>& enough) {
    std::vector<trial::PinnedPlan> plans = trial::planPinned(job);
    std::vector<trial::PinnedResult> out;
    const std::size_t total = plans.size();
    for (std::size_t i = 0; i < total; ++i) {
        trial::PinnedPlan& plan = plans[i];
        trial::Control part;
        part.threads = control.threads;
        part.progress = [&](std::size_t done, std::size_t all) {
            return control.progress(i * 1000 + (all > 0 ? done * 1000 / all : 0), total * 1000) && !enough.load(std::memory_order_relaxed);
        };
        // One that was broken off is left out whole: half an answer is none.
        if (part.progress(0, 1))
            out.push_back(trial::workPinned(plan, part));
        else
            out.push_back({plan.pinned, {}, plan.problem, !plan.problem});
    }
    return out;
}

} // namespace

struct PaperMaker::Way {
    std::atomic<bool> enoughTrials{false}, enoughPlanning{false};
};

PaperMaker::PaperMaker(QObject* parent)
    : QObject(parent),
      m_plan([](const job::Job& job, const shop::WorkshopOptions& options) { return std::make_shared<const shop::Workshop>(shop::work(job, options)); }) {
    m_often.setInterval(kOften);
    connect(&m_often, &QTimer::timeout, this, &PaperMaker::lookAtLoading);
    connect(&m_reading, &AsideRun::progressed, this, [this](int permille) {
        m_often.stop();
        show(tr("Gathering what is printed"), permille);
    });
    connect(&m_working, &AsideRun::progressed, this, [this](int permille) {
        if (m_stage == Stage::WorksOutTrials) show(m_words, permille);
    });
    connect(&m_setting, &AsideRun::progressed, this, [this](int permille) {
        if (stage() == Stage::Sets) show({}, permille);
    });
    connect(&m_reading, &AsideRun::finished, this, [this] {
        m_often.stop();
        show({}, {});
        Q_EMIT wasRead();
        if (m_choice && !m_setting.isRunning()) set();
    });
    connect(&m_working, &AsideRun::finished, this, [this] {
        show({}, {});
        if (m_choice && m_choice->isWhole()) set();
    });
    connect(&m_setting, &AsideRun::finished, this, [this] {
        Q_EMIT bookChanged();
        Q_EMIT changed();
    });
}

PaperMaker::~PaperMaker() { giveUp(); }

void PaperMaker::giveUp() {
    if (m_load) m_load->givenUp = true;
    if (m_way) m_way->enoughTrials = m_way->enoughPlanning = true;
}

PaperMaker::Stage PaperMaker::stage() const {
    if (m_reading.isRunning()) return Stage::Reads;
    if (m_working.isRunning()) return m_stage;
    return m_setting.isRunning() ? Stage::Sets : Stage::Rests;
}

bool PaperMaker::isReady() const {
    if (!m_facts || m_reading.isRunning() || m_setting.isRunning()) return false;
    if (!m_choice) return true;
    return m_book && (!m_choice->isWhole() || m_bookIsWhole);
}

void PaperMaker::show(const QString& words, std::optional<int> permille) {
    m_words = words;
    m_permille = permille;
    Q_EMIT changed();
}

void PaperMaker::lookAtLoading() {
    const job::Progress p{static_cast<job::Progress::Stage>(m_load->stage.load()), m_load->done.load(), m_load->all.load()};
    show(inWords(p), permilleOf(p));
}

void PaperMaker::read(Open open) {
    // Whoever still works with the copy of before may stop: nothing will come of it.
    giveUp();
    m_working.stop();
    m_setting.stop();
    m_way = std::make_shared<Way>();
    m_load = std::make_shared<models::LoadState>();
    m_often.start();
    m_reading.start([this, open = std::move(open), load = m_load](const trial::Control& control) -> AsideRun::Take {
        auto copy = std::make_shared<models::JobCopy>(open(load));
        report::Want want;
        want.rows = want.workings = want.mends = true;
        want.goOn = [&](std::size_t done, std::size_t total) { return control.progress(done, total) && !load->givenUp; };
        if (load->givenUp) return {};
        auto facts = std::make_shared<const report::JobFacts>(report::gather(*copy->job, want));
        return [this, copy, facts] {
            m_copy = copy;
            m_facts = facts;
            m_whole.reset();
        };
    });
    show(tr("Reading"), {});
}

void PaperMaker::choose(std::optional<Choice> choice) {
    m_choice = std::move(choice);
    set();
}

void PaperMaker::enough() {
    if (!m_way) return;
    (stage() == Stage::WorksOutTrials ? m_way->enoughTrials : m_way->enoughPlanning) = true;
}

void PaperMaker::tell(const std::shared_ptr<Way>& way, Stage stage, const QString& words) {
    QMetaObject::invokeMethod(
        this,
        [this, way, stage, words] {
            if (way != m_way || !m_working.isRunning()) return;
            m_stage = stage;
            show(words, {});
        },
        Qt::QueuedConnection);
}

/// What only the whole job has: its trials, and the workshop's pages.
void PaperMaker::workOutWhole() {
    if (m_whole || m_working.isRunning()) return;
    m_stage = m_facts->pinned > 0 ? Stage::WorksOutTrials : Stage::Plans;
    m_words = m_facts->pinned > 0 ? tr("Working out the trials of the report...") : tr("Planning the workshop's pages...");
    m_permille.reset();
    m_working.start([this, way = m_way, copy = m_copy, facts = m_facts, plan = m_plan](const trial::Control& control) -> AsideRun::Take {
        auto whole = std::make_shared<report::JobFacts>(*facts);
        if (facts->pinned > 0) whole->trials = workTrials(*copy->job, control, way->enoughTrials);
        tell(way, Stage::Plans, tr("Planning the workshop's pages..."));
        shop::WorkshopOptions options;
        options.plan.effort.cancelled = [way] { return way->enoughPlanning.load(std::memory_order_relaxed); };
        options.plan.progress = [&](const std::string& group, std::int64_t boards) {
            tell(way, Stage::Plans, tr("Planning the workshop's pages. %1: %2 are cut by the best plan so far").arg(fromUtf8(group)).arg(boards));
        };
        whole->shop = plan(*copy->job, options);
        return [this, whole] { m_whole = whole; };
    });
}

void PaperMaker::set() {
    if (!m_facts) return;
    if (!m_choice) {
        m_setting.stop();
        m_book.reset();
        Q_EMIT bookChanged();
        Q_EMIT changed();
        return;
    }
    const bool whole = m_choice->isWhole();
    if (whole) workOutWhole();
    const bool all = whole && m_whole;
    m_setting.start([this, choice = *m_choice, facts = all ? m_whole : m_facts, all](const trial::Control& control) -> AsideRun::Take {
        auto book = std::make_shared<const paper::PageBook>(report::reportDocument(*facts, choice.scope), choice.format, control.progress);
        return [this, book, all] {
            m_book = book;
            m_bookIsWhole = all;
        };
    });
    Q_EMIT changed();
}

} // namespace spanwright::app
