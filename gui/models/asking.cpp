// SPDX-License-Identifier: MIT
#include "gui/models/asking.h"

#include <algorithm>
#include <utility>

namespace spanwright::models {

AsideRun::~AsideRun() {
    for (const auto& run : m_all) run->givenUp = true;
    for (const auto& run : m_all) run->thread.join();
}

void AsideRun::start(Work work) {
    stop();
    auto run = std::make_shared<Run>();
    m_current = run;
    m_all.push_back(run);
    run->thread = std::thread([this, run, work = std::move(work)] {
        trial::Control control;
        // One is left for the window.
        control.threads = std::max(1U, std::thread::hardware_concurrency() - 1);
        int told = -1;
        control.progress = [this, run, &told](std::size_t done, std::size_t total) {
            const int now = total > 0 ? static_cast<int>(done * 1000 / total) : 0;
            if (std::exchange(told, now) != now)
                QMetaObject::invokeMethod(
                    this,
                    [this, run, now] {
                        if (m_current == run) Q_EMIT progressed(now);
                    },
                    Qt::QueuedConnection);
            return !run->givenUp.load(std::memory_order_relaxed);
        };
        Take take = run->givenUp ? Take() : work(control);
        QMetaObject::invokeMethod(
            this,
            [this, run, take = std::move(take)] {
                const bool wanted = m_current == run && !run->givenUp;
                if (m_current == run) m_current.reset();
                reap(run);
                if (!wanted) return;
                if (take) take();
                Q_EMIT finished();
            },
            Qt::QueuedConnection);
    });
}

void AsideRun::stop() {
    if (m_current) m_current->givenUp = true;
    m_current.reset();
}

void AsideRun::reap(const std::shared_ptr<Run>& run) {
    run->thread.join();
    m_all.remove(run);
}

Asking::Asking(JobSession& session, QObject* parent) : QObject(parent), m_session(session), m_run(this) {
    m_soon.setSingleShot(true);
    m_soon.setInterval(120);
    connect(&m_soon, &QTimer::timeout, this, &Asking::begin);
    connect(&session, &JobSession::reset, this, &Asking::outdate);
    connect(&session, &JobSession::settled, this, &Asking::outdate);
    connect(&session, &JobSession::pendingChanged, this, &Asking::outdate);
    connect(&m_run, &AsideRun::finished, this, [this] {
        m_state = State::Answered;
        Q_EMIT changed();
    });
}

void Asking::ask(Ready ready) {
    m_ready = std::move(ready);
    outdate();
}

void Asking::askNothing() {
    m_ready = {};
    outdate();
}

void Asking::setActive(bool active) {
    if (active == m_active) return;
    m_active = active;
    outdate();
}

/// What was answered holds no longer.
void Asking::outdate() {
    m_run.stop();
    m_soon.stop();
    const State before = m_state;
    m_state = m_active && m_ready && m_session.isOpen() ? State::Waiting : State::Nothing;
    if (m_state == State::Waiting) m_soon.start();
    if (m_state != before || m_state == State::Waiting) Q_EMIT changed();
}

void Asking::begin() {
    // An edit that is still being worked out tells when it is done.
    if (m_state != State::Waiting || m_session.isPending()) return;
    AsideRun::Work work = m_ready(m_session.job());
    if (work) {
        m_run.start(std::move(work));
        return;
    }
    m_state = State::Answered;
    Q_EMIT changed();
}

} // namespace spanwright::models
