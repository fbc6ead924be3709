#pragma once

#include <cstddef>
#include <string_view>

namespace enginewright::units {

inline bool is_digit(char sign) { return sign >= '0' && sign <= '9'; }

/// Walks over a normalised text; what it has taken lies behind it. A copy tries a way out.
class Scanner {
  public:
    explicit Scanner(std::string_view text) : rest_(text) {}

    std::string_view rest() const { return rest_; }
    char next() const { return rest_.empty() ? '\0' : rest_.front(); }

    bool take(std::string_view sign)
    {
        if (!rest_.starts_with(sign)) {
            return false;
        }
        rest_.remove_prefix(sign.size());
        return true;
    }

    bool take_blank() { return take(" ") || take("\n"); }

    /// Takes a sign of plus or minus; true for a minus.
    bool take_minus()
    {
        const bool minus = take("-");
        if (!minus) {
            take("+");
        }
        return minus;
    }

    std::string_view take_count(std::size_t count)
    {
        const auto taken = rest_.substr(0, count);
        rest_.remove_prefix(taken.size());
        return taken;
    }

    std::string_view take_digits()
    {
        std::size_t count = 0;
        while (count < rest_.size() && is_digit(rest_[count])) {
            ++count;
        }
        return take_count(count);
    }

  private:
    std::string_view rest_;
};

}  // namespace enginewright::units
