// SPDX-License-Identifier: MIT
#include "gui/models/twin.h"

#include <utility>

namespace spanwright::models {

Twin::Twin(std::function<JobCopy()> open, std::shared_ptr<std::atomic<bool>> stop, std::function<void()> done)
    : m_stop(std::move(stop)), m_done(std::move(done)) {
    m_thread = std::thread([this, open = std::move(open)] { run(open); });
}

Twin::~Twin() {
    {
        const std::lock_guard<std::mutex> lock(m_mutex);
        m_quit = true;
        *m_stop = true;
    }
    m_news.notify_all();
    m_thread.join();
    *m_stop = false;
}

bool Twin::isOpen() const {
    const std::lock_guard<std::mutex> lock(m_mutex);
    return m_open;
}

bool Twin::isIdle() const {
    const std::lock_guard<std::mutex> lock(m_mutex);
    return !m_busy;
}

bool Twin::isComplete() const {
    const std::lock_guard<std::mutex> lock(m_mutex);
    return !m_busy && m_complete;
}

bool Twin::wait(std::chrono::milliseconds patience) const {
    std::unique_lock<std::mutex> lock(m_mutex);
    return m_news.wait_for(lock, patience, [this] { return !m_busy; });
}

void Twin::waitForEver() const {
    std::unique_lock<std::mutex> lock(m_mutex);
    m_news.wait(lock, [this] { return !m_busy; });
}

void Twin::interrupt() {
    *m_stop = true;
    waitForEver();
    *m_stop = false;
}

void Twin::work(std::vector<Step> steps) {
    {
        const std::lock_guard<std::mutex> lock(m_mutex);
        m_steps = std::move(steps);
        m_busy = true;
        m_complete = false;
        m_asked = true;
    }
    m_news.notify_all();
}

void Twin::run(const std::function<JobCopy()>& open) {
    JobCopy first = open();
    std::unique_lock<std::mutex> lock(m_mutex);
    m_copy = std::move(first);
    m_copy.job->keepLog(true);
    m_open = true;
    m_complete = true;
    for (;;) {
        m_busy = false;
        m_news.notify_all();
        if (m_quit) return;
        lock.unlock();
        m_done();
        lock.lock();
        m_news.wait(lock, [this] { return m_quit || m_asked; });
        if (m_quit) return;
        m_asked = false;
        const std::vector<Step> steps = std::exchange(m_steps, {});
        lock.unlock();
        // Everything is read in first: an edit that is taken back again costs nothing.
        job::Job& job = *m_copy.job;
        job.hold(true);
        m_copy.files->pretend(true);
        for (const Step& step : steps) step(m_copy);
        m_copy.files->pretend(false);
        job.hold(false);
        job.calculate();
        for (const std::string& worked : job.log()) m_touched.insert(worked.substr(0, worked.rfind('.')));
        // Views are made here, so that they need not be made where they are shown.
        for (std::size_t i = 0; i < job.memberCount() && !*m_stop; ++i) (void)job.member(i);
        const bool complete = !*m_stop;
        lock.lock();
        m_complete = complete;
    }
}

} // namespace spanwright::models
