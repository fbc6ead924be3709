#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <vector>

/// A tree of boxes over points in two planes: a k-d tree in four dimensions. Numbers only.
namespace enginewright::numerics {

/// Single precision: half the memory to walk through. What passes is looked at again exactly.
using Coordinates = std::array<float, 4>;

/// A point made of one option or of the sum of two.
struct TreePoint {
    Coordinates at{};
    std::int32_t first = -1;
    std::int32_t second = -1;
};

struct Box {
    Coordinates low{};
    Coordinates high{};
};

struct BoxNode {
    Box box{};
    std::uint32_t begin = 0;
    std::uint32_t end = 0;
    std::int32_t right = -1;  ///< index of the right child, the left one follows; -1: a leaf
    bool leaf() const { return right < 0; }
};

/// Square of the longer of two planar distances of a point from a box.
inline float square_from_box(const Coordinates& p, const Box& box)
{
    Coordinates off;
    for (std::size_t d = 0; d < 4; ++d) {
        off[d] = std::max(std::max(box.low[d] - p[d], p[d] - box.high[d]), 0.0F);
    }
    return std::max(off[0] * off[0] + off[1] * off[1], off[2] * off[2] + off[3] * off[3]);
}

/// Square of the longer of two planar lengths.
inline float square_of(const Coordinates& p)
{
    return std::max(p[0] * p[0] + p[1] * p[1], p[2] * p[2] + p[3] * p[3]);
}

class BoxTree {
  public:
    BoxTree(std::vector<TreePoint> points, std::uint32_t leaf_size)
        : points_(std::move(points)), leaf_size_(leaf_size)
    {
        if (!points_.empty()) {
            nodes_.reserve(4 * points_.size() / leaf_size_ + 8);
            grow(0, static_cast<std::uint32_t>(points_.size()));
        }
    }

    const std::vector<TreePoint>& points() const { return points_; }
    const std::vector<BoxNode>& nodes() const { return nodes_; }

  private:
    std::int32_t grow(std::uint32_t begin, std::uint32_t end)
    {
        const auto own = static_cast<std::int32_t>(nodes_.size());
        BoxNode node{.box = {points_[begin].at, points_[begin].at}, .begin = begin, .end = end};
        for (std::uint32_t i = begin; i < end; ++i) {
            for (std::size_t d = 0; d < 4; ++d) {
                node.box.low[d] = std::min(node.box.low[d], points_[i].at[d]);
                node.box.high[d] = std::max(node.box.high[d], points_[i].at[d]);
            }
        }
        nodes_.push_back(node);
        if (end - begin <= leaf_size_) {
            return own;
        }
        std::size_t widest = 0;
        for (std::size_t d = 1; d < 4; ++d) {
            if (node.box.high[d] - node.box.low[d] > node.box.high[widest] - node.box.low[widest]) {
                widest = d;
            }
        }
        const std::uint32_t middle = begin + (end - begin) / 2;
        std::nth_element(
            points_.begin() + begin, points_.begin() + middle, points_.begin() + end,
            [&](const TreePoint& a, const TreePoint& b) { return a.at[widest] < b.at[widest]; });
        grow(begin, middle);
        const std::int32_t right = grow(middle, end);
        nodes_[static_cast<std::size_t>(own)].right = right;
        return own;
    }

    std::vector<TreePoint> points_;
    std::vector<BoxNode> nodes_{};
    std::uint32_t leaf_size_;
};

}  // namespace enginewright::numerics
