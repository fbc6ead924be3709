#pragma once

#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

/// Faults of a file, gathered so that a person mends them all in one go.
namespace enginewright::table {

class Faults {
  public:
    /// "limits.toml, limit 3: upper must have its unit, got 86.1"
    void add(std::string_view place, std::string_view fault)
    {
        faults_.push_back(std::string(place).append(": ").append(fault));
    }

    /// Throws std::invalid_argument with every fault, one a line; does nothing without any.
    void refuse_any() const
    {
        if (faults_.empty()) {
            return;
        }
        std::string text;
        for (const auto& fault : faults_) {
            text.append(text.empty() ? "" : "\n").append(fault);
        }
        throw std::invalid_argument(text);
    }

    bool any() const { return !faults_.empty(); }
    std::size_t size() const { return faults_.size(); }

  private:
    std::vector<std::string> faults_{};
};

}  // namespace enginewright::table
