// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>
#include <QString>
#include <QTimer>

#include <atomic>
#include <functional>
#include <memory>
#include <optional>
#include <vector>

#include "engine/report/build.h"
#include "engine/report/facts.h"
#include "engine/shop/workshop.h"
#include "gui/models/asking.h"
#include "gui/models/loading.h"
#include "gui/paper/page_book.h"

namespace spanwright::app {

/// The pages of a job's calculation, made on threads of their own from a copy of the job of their own: the window and its edits go on
/// meanwhile, and what is printed is how the job stood when it was read. The same pages as the command makes.
///
/// read() -> facts() -> choose() -> book(); trials and the workshop's pages are worked out once, when the whole job is first chosen. Until they
/// are there book() has the pages before them, and isReady() is false.
class PaperMaker : public QObject {
    Q_OBJECT

public:
    /// Makes the copy, on whatever thread calls it.
    using Open = std::function<models::JobCopy(const std::shared_ptr<models::LoadState>&)>;
    /// Plans the workshop's pages; null: there are none.
    using Plan = std::function<std::shared_ptr<const shop::Workshop>(const job::Job&, const shop::WorkshopOptions&)>;
    enum class Stage : std::uint8_t { Rests, Reads, WorksOutTrials, Plans, Sets };
    struct Choice {
        report::ReportScope scope;
        paper::PageFormat format;
        [[nodiscard]] bool isWhole() const { return !scope.brief && scope.members.empty(); }
    };

    explicit PaperMaker(QObject* parent = nullptr);
    /// Gives up and waits for the threads' end.
    ~PaperMaker() override;
    void setPlan(Plan plan) { m_plan = std::move(plan); }

    /// Reads the job; all that was made before is forgotten once it is there.
    void read(Open open);
    /// What the pages show; the last choice counts. Nothing: no page.
    void choose(std::optional<Choice> choice);
    /// Ends the trials or the planning under way with what there is.
    void enough();

    /// Null until the job is read.
    [[nodiscard]] const std::shared_ptr<const report::JobFacts>& facts() const { return m_facts; }
    /// The same with trials and the workshop; null until the whole job was chosen and they are worked out.
    [[nodiscard]] const std::shared_ptr<const report::JobFacts>& whole() const { return m_whole; }
    /// The pages set last; null where nothing is chosen.
    [[nodiscard]] const std::shared_ptr<const paper::PageBook>& book() const { return m_book; }
    /// book() is all that is chosen.
    [[nodiscard]] bool isReady() const;
    /// Pages are being set anew: book() is of an earlier choice.
    [[nodiscard]] bool isSetting() const { return m_setting.isRunning(); }
    /// What it is at; setting pages only where nothing else is worked out.
    [[nodiscard]] Stage stage() const;
    /// In words, for where something is worked out; empty else.
    [[nodiscard]] const QString& words() const { return m_words; }
    /// How far stage() is; nothing where that is not known.
    [[nodiscard]] std::optional<int> permille() const { return m_permille; }

Q_SIGNALS:
    /// facts() are there: choose().
    void wasRead();
    /// book() is another one.
    void bookChanged();
    /// Of stage(), words(), permille(), isReady().
    void changed();

private:
    /// What goes on the way: shared with the thread, so that it may outlive what asked for it.
    struct Way;
    void giveUp();
    void show(const QString& words, std::optional<int> permille);
    void lookAtLoading();
    void workOutWhole();
    void set();
    void tell(const std::shared_ptr<Way>& way, Stage stage, const QString& words);

    Plan m_plan;
    std::shared_ptr<models::LoadState> m_load; ///< of the copy that is read, or was
    std::shared_ptr<const models::JobCopy> m_copy;
    std::shared_ptr<const report::JobFacts> m_facts, m_whole;
    std::shared_ptr<Way> m_way;
    std::optional<Choice> m_choice;
    bool m_bookIsWhole = false;
    std::shared_ptr<const paper::PageBook> m_book;
    Stage m_stage = Stage::Rests;
    QString m_words;
    std::optional<int> m_permille;
    QTimer m_often;
    models::AsideRun m_reading, m_working, m_setting; ///< last: their threads end before what they use goes
};

} // namespace spanwright::app
