// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>
#include <QTimer>

#include <atomic>
#include <functional>
#include <list>
#include <memory>
#include <thread>
#include <type_traits>
#include <utility>

#include "engine/base/result.h"
#include "engine/trial/trial.h"
#include "gui/models/job_session.h"

namespace spanwright::models {

/// Work on a thread of its own that can be given up. One thing at a time: what is started anew puts an end to what runs,
/// whose result is never told.
class AsideRun : public QObject {
    Q_OBJECT

public:
    /// What is to be done with a result, on the thread of the window.
    using Take = std::function<void()>;
    /// The work itself, on any thread. What it needs it owns.
    using Work = std::function<Take(const trial::Control&)>;

    explicit AsideRun(QObject* parent = nullptr) : QObject(parent) {}
    /// Gives up and waits for the end of what was begun.
    ~AsideRun() override;
    void start(Work work);
    void stop();
    [[nodiscard]] bool isRunning() const { return m_current != nullptr; }

Q_SIGNALS:
    void progressed(int permille);
    /// The result has been taken.
    void finished();

private:
    struct Run {
        std::atomic<bool> givenUp{false};
        std::thread thread;
    };
    void reap(const std::shared_ptr<Run>& run);
    std::shared_ptr<Run> m_current;
    std::list<std::shared_ptr<Run>> m_all; ///< begun and not yet joined
};

/// A question about the job whose answer holds only as long as the job stands as it did: any edit makes it out of date at
/// once, and it is asked anew when the job has settled. Nothing is worked out while nobody looks.
class Asking : public QObject {
    Q_OBJECT

public:
    enum class State : std::uint8_t {
        Nothing,  ///< nothing is asked, or nobody looks
        Waiting,  ///< is being worked out; an answer of before is out of date
        Answered, ///< holds
    };
    /// Makes ready on the thread of the window: reads the job, is quick. Nothing: there is nothing to work out, and who asks
    /// has said why in its own words.
    using Ready = std::function<AsideRun::Work(const job::Job&)>;

    /// What a question plans from the job; or why it cannot be asked, which is empty where nothing is to be said.
    template <class Plan> using Planned = base::Result<Plan, QString>;
    /// A question to the engine: `plan` reads the job and gives Planned; `work` makes an Answer of the plan, aside, or says why there is none
    /// (Planned<Answer>); `take` gets the answer and `refuse` the reason, both on the window's thread. `refuse` gets an empty one when it is asked anew.
    template <class Plan, class Work, class Take, class Refuse> [[nodiscard]] static Ready question(Plan plan, Work work, Take take, Refuse refuse) {
        return [=](const job::Job& job) -> AsideRun::Work {
            refuse(QString());
            auto planned = plan(job);
            if (!planned) {
                refuse(planned.error());
                return {};
            }
            auto made = std::make_shared<std::decay_t<decltype(planned.value())>>(std::move(planned).value());
            return [=](const trial::Control& control) -> AsideRun::Take {
                auto found = std::make_shared<decltype(work(*made, control))>(work(*made, control));
                return [=] {
                    if (*found)
                        take(std::move(*found).value());
                    else
                        refuse(found->error());
                };
            };
        };
    }

    explicit Asking(JobSession& session, QObject* parent = nullptr);
    /// Asks from now on; an answer of another question is gone.
    void ask(Ready ready);
    void askNothing();
    void setActive(bool active);
    [[nodiscard]] bool isActive() const { return m_active; }
    [[nodiscard]] State state() const { return m_state; }
    /// How long after an edit it waits for the next one.
    void setPatience(int milliseconds) { m_soon.setInterval(milliseconds); }

Q_SIGNALS:
    void changed();

private:
    void outdate();
    void begin();
    JobSession& m_session;
    AsideRun m_run;
    QTimer m_soon;
    Ready m_ready;
    State m_state = State::Nothing;
    bool m_active = false;
};

} // namespace spanwright::models
