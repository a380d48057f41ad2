// SPDX-License-Identifier: MIT
#include "engine/meaning/table.h"

namespace spanwright::meaning {

double TextPool::idOf(std::string_view text) {
    if (const auto found = m_ids.find(text); found != m_ids.end()) return found->second;
    const auto id = static_cast<double>(m_texts.size());
    const std::string& kept = m_texts.emplace_back(text);
    m_ids.emplace(std::string_view(kept), id);
    return id;
}

const std::string& TextPool::textOf(double id) const {
    static const std::string none;
    if (!(id >= 0.0) || id >= static_cast<double>(m_texts.size())) return none;
    const auto at = static_cast<std::size_t>(id);
    return static_cast<double>(at) == id ? m_texts[at] : none;
}

} // namespace spanwright::meaning
