// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>
#include <QString>
#include <QStringList>
#include <QTimer>

#include <atomic>
#include <chrono>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "engine/job/verdict.h"
#include "engine/shop/workshop.h"
#include "gui/models/file_watch.h"
#include "gui/models/job_session.h"

namespace spanwright::models {

/// A member as the schedule has it.
struct ScheduleLine {
    std::string mark;
    QString purpose, count, section, span, governing, insteadOf;
    std::optional<double> utilisation;
    job::Verdict verdict = job::Verdict::NotComputed;
    std::optional<double> mass; ///< kg of one
    bool nothing = false;       ///< it has no piece of its own
    double off = 1;
    std::optional<shop::Cents> cents; ///< of all
    shop::Cents low = 0, high = 0;
    bool proven = false;
    bool costed = true; ///< false: nothing is planned yet, so no cost can be known
    QString sheet;
};

/// The job's path and its texts as they stand: what was made of the job is out of date once they are others.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> textsNow(const JobSession& session);

/// What the workshop makes of the job in the window: worked out on a thread of its own in a copy of the job, given up and begun anew when the job
/// changes.
///
/// Invariants: what workshop() and lines() give belongs together and is of one state of the job; while the job has gone on, isOutOfDate() says
/// so. Plans of soFar() belong to prepared(), not to workshop(). Nothing is worked out while nobody wants it.
class LiveWorkshop : public QObject {
    Q_OBJECT

public:
    enum class Phase { Rests, Reads, Plans };
    /// The page of each member in the printed calculation, the first being 1; called on a thread of its own. Asked for lately, and given up when it says so.
    using Pager = std::function<std::vector<int>(const job::Job&, const shop::Workshop&, const std::function<bool()>& givenUp)>;

    explicit LiveWorkshop(JobSession& session, QObject* parent = nullptr);
    /// Gives up and waits for the threads' end.
    ~LiveWorkshop() override;

    /// Somebody looks at it.
    void setWanted(bool wanted);
    [[nodiscard]] bool isWanted() const { return m_wanted; }
    /// How long a material may be searched for, on the machine of the benchmarks.
    void setSeconds(int seconds);
    [[nodiscard]] int seconds() const { return m_seconds; }
    /// Ends the search with the best plan so far.
    void stop();
    /// Begins anew, as when the job had changed.
    void again();
    void setPager(Pager pager) { m_pager = std::move(pager); }
    /// The pages of the printed calculation are wanted, too.
    void setPagesWanted(bool wanted);
    /// How long after an edit it is begun anew.
    void setPatience(std::chrono::milliseconds patience) { m_soon.setInterval(patience); }

    [[nodiscard]] Phase phase() const { return m_phase; }
    /// There is something to plan: a job that is open.
    [[nodiscard]] bool isPossible() const;
    [[nodiscard]] const std::shared_ptr<const shop::Workshop>& workshop() const { return m_workshop; }
    /// workshop() is of the job as it stood before an edit.
    [[nodiscard]] bool isOutOfDate() const { return m_outOfDate; }
    /// The search was ended before its time.
    [[nodiscard]] bool isStopped() const { return m_stopped; }
    /// Of the job as it is being planned: parts and stock; nothing before that is known and when it is done.
    [[nodiscard]] const std::shared_ptr<const shop::Workshop>& prepared() const { return m_prepared; }
    /// The best plans so far, a group each: of those that are searched for and those that have been.
    [[nodiscard]] const std::vector<shop::PlanSoFar>& soFar() const { return m_soFar; }
    /// In the order of the job; of prepared() while that is there, without costs then.
    [[nodiscard]] const std::vector<ScheduleLine>& lines() const { return m_lines; }
    /// How many quantities the last run worked out behind an edit; nothing where it had to open a copy of the job and work out all of them.
    [[nodiscard]] const std::optional<std::size_t>& workedOut() const { return m_workedOut; }
    /// Pages by member of lines(); empty while they are not known.
    [[nodiscard]] const std::vector<int>& pages() const { return m_pages; }

Q_SIGNALS:
    void changed();
    /// Only soFar() did.
    void betterPlan();
    void pagesChanged();

private:
    struct Run;
    void look(bool certainly);
    void begin();
    void giveUp();
    void work(const std::shared_ptr<Run>& run);
    void takePrepared(const std::shared_ptr<Run>& run);
    void takeBetter(const std::shared_ptr<Run>& run);
    void takeDone(const std::shared_ptr<Run>& run);
    void startPages();
    void stopPages();
    void watch();

    JobSession& m_session;
    bool m_wanted = false, m_pagesWanted = false, m_outOfDate = false, m_stopped = false, m_again = false;
    int m_seconds = 4;
    Phase m_phase = Phase::Rests;
    std::vector<std::pair<std::string, std::string>> m_texts; ///< that the last run was begun with
    std::shared_ptr<const shop::Workshop> m_workshop, m_prepared;
    std::vector<shop::PlanSoFar> m_soFar;
    std::vector<ScheduleLine> m_lines;
    std::vector<int> m_pages;
    Pager m_pager;
    std::shared_ptr<Run> m_run; ///< the one whose thread is going; null: none
    std::thread m_thread;
    std::shared_ptr<JobCopy> m_copy;       ///< of the last run, for the pages and for the next one; null while one goes on with it
    std::shared_ptr<LoadState> m_copyLoad; ///< what m_copy asks whether it is given up
    std::optional<std::size_t> m_workedOut;
    std::shared_ptr<std::atomic<bool>> m_pagesStop;
    std::thread m_pagesThread;
    bool m_pagesGoing = false;
    QTimer m_soon, m_pagesSoon;
    FileWatch m_prices;
    QString m_priceFile;
};

} // namespace spanwright::models
