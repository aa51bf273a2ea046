// SPDX-License-Identifier: Apache-2.0
// What is to be painted. World: millimetres, x to the right and y down as seen from above, z up; z = 0 is the
// top of the trays. Colours: linear B, G, R; albedo 0..1.
#pragma once

#include <cstdint>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "calibration/census.h"

namespace braird::painter {

using Colour = cv::Vec3f;

/// A colour of a picture (sRGB, 0..255), as linear light.
Colour srgb(double red, double green, double blue);

enum class Ground { planks, concrete, gravel, table, grass, cloth, belt, soil, slats, mesh };

/// How a crop's seedlings look when they come up.
enum class Habit { round_pair, strap_pair, thread };

struct Crop {
  std::string name = "brassica";
  Habit habit = Habit::round_pair;
  double cotyledon_mm = 9;      ///< length of a full-grown cotyledon, or of the first leaf of a thread
  double slenderness = 0.9;     ///< width over length of a cotyledon
  double notch = 0.2;           ///< depth of the dent in its tip, share of the length
  double petiole = 0.4;         ///< length of its stalk, share of the length
  double petiole_width = 0.65;  ///< against the stem's
  double petiole_green = 0;     ///< how far its foot has the leaf's colour rather than the stem's
  double stem_mm = 20;          ///< height of the stem below the cotyledons
  double stem_width_mm = 1;
  double fold = 0.2;   ///< V of the blade along its midrib, rad
  double lobes = 0.1;  ///< how lobed the true leaves are
  double true_slenderness = 0.6;
  double true_notch = 0;  ///< of the true leaves, as `notch`
  bool opposite = false;  ///< the first two true leaves come as a pair
  double crooked = 0;     ///< threads: how far a leaf turns aside along its length, rad
  double kneed = 0.3;     ///< threads: share of grown leaves that keep the knee
  double gloss = 0.2;
  Colour leaf{0.05f, 0.25f, 0.12f};
  Colour stem{0.12f, 0.30f, 0.25f};
  Colour coat{0.02f, 0.03f, 0.05f};  ///< seed coat
  double coat_kept = 0.1;            ///< share of young plants that still wear it
  int plants_per_seed = 1;           ///< clusters (beet) give up to so many
  double one_more = 0.4;             ///< chance that a cluster gives one more, once it has given one
};

struct Sowing {
  bool bare = false;  ///< nothing sown at all
  int seeds_per_cell = 1;
  double seeds_spread = 0.3;  ///< chance that a drop is one more or one fewer
  double pinch = 0;           ///< sown by hand: deviation of a drop, share of the seeds meant
  double skipped = 0.02;      ///< share of cells missed by the sower
  double germination = 0.9;
  double clumping = 0.3;  ///< how strongly failures cluster in places (logit units)
  double scatter = 0.15;  ///< where seeds fall about the cell's middle, pitches
  double stage = 0.7;     ///< 0 hooks break through, 0.5 unfolding, 1 cotyledons flat, 2 two true leaves
  double stage_spread = 0.12;
  double late = 0;             ///< share of plants far behind the others
  bool may_be_hidden = false;  ///< plants of a stage below 0 have not broken through yet; else they are hooks
  double lean = 0.25;          ///< rad
  double lean_to_light = 0;    ///< common lean, rad
  double light_angle = 0;
  int weeds = 0;  ///< plants outside cells
};

/// Seeds lying in view, before covering.
struct SeedsInView {
  Colour colour{0.1f, 0.5f, 0.6f};
  double length_mm = 3;
  double slenderness = 0.8;
  double gloss = 0.3;
  double dibble_mm = 0;      ///< depth of the dent pressed into each cell
  double touching = 0;       ///< chance that a seed comes to lie against the one dropped before it
  bool failed_only = false;  ///< those that have come up no longer lie there
};

/// What fills the cells, and what is strewn over it.
struct Medium {
  Colour colour{0.02f, 0.03f, 0.04f};
  double lump_mm = 2;       ///< size of its crumbs
  double roughness_mm = 1;  ///< their relief
  double mottle = 0.3;      ///< how much the crumbs differ in brightness
  double fibres = 0;        ///< per cm²
  double perlite = 0;       ///< grains per cm²
  double vermiculite = 0;   ///< flakes per cm²
  double sand = 0;          ///< share of the surface
  double lumps = 0;         ///< big pieces per cm²
  double wet = 0;           ///< glints, 0..1
  double algae = 0;         ///< share of the surface under a green film
  double moss = 0;
  double spill = 0.05;  ///< share of the walls that topping covers
};

struct Tray {
  int rows = 8;
  int cols = 16;
  LatticeKind lattice = LatticeKind::square;
  double odd_row_shift = 0;  ///< staggered: ±0.5
  double pitch_mm = 32;
  double row_pitch_mm = 32;
  double opening = 0.85;   ///< side of a well at the top, pitches
  double roundness = 0.3;  ///< of the wells' corners: 0 square, 1 round
  double taper = 0.12;     ///< how far a wall leans in, mm per mm of depth
  double rim_mm = 12;      ///< from the outermost wells (or paper cells) to the edge
  double corner_mm = 8;    ///< of the rim's own corners
  double lip_mm = 0;       ///< how far the rim stands above the wells
  double depth_mm = 45;
  double notch_mm = 0;  ///< dips in the walls between neighbours
  double fill_mm = 3;   ///< medium below the top of the wells, mean
  double fill_spread_mm = 1;
  double underfilled = 0.03;  ///< share of cells filled badly
  double dish_mm = 0;         ///< how far the medium sinks towards the middle of each cell; below 0: heaped
  bool empty_wells = false;   ///< no medium at all
  double wall_mm = 0.5;       ///< thickness of paper walls
  double wall_height_mm = 1;  ///< of paper above the medium, mean
  double paper_corner = 1.0 / 3;  ///< half a paper wall between neighbours in a row, row pitches
  double wall_wave = 0.02;        ///< how crooked paper is, pitches
  double buried = 0.2;            ///< share of the paper under the topping
  double creep[2] = {0, 0};       ///< growth of the pitch from one end to the other, along rows and across
  double bow[2] = {0, 0};         ///< how far rows and columns bend, pitches
  Colour colour{0.02f, 0.02f, 0.02f};
  Colour paper{0.25f, 0.38f, 0.5f};
  double gloss = 0.3;
  double wear = 0.3;  ///< dust, scratches, dirt
  cv::Point2d middle_mm;
  double turn = 0;  ///< direction of the rows, rad, clockwise
  Medium medium;
  Sowing sowing;
};

struct CameraPose {
  cv::Size size{1600, 1200};
  double width_over_focal = 1.33;  ///< frame's longer side over focal length
  double distance_mm = 700;        ///< from the point it looks at
  cv::Point2d aim_mm;
  double tilt = 0;          ///< rad against the vertical
  double tilt_towards = 0;  ///< rad
  double roll = 0;          ///< rad
  int pad_px = 0;           ///< bars that some program put on both sides; they hide that much of the photo
  bool pad_above = false;   ///< above and below instead
  uchar pad_grey = 114;
  double k1 = 0;  ///< x_d = x_u (1 + k1 r²), r = 1 at the frame's corner
};

enum class Shade { none, bars, leaves, person };

/// A straight shadow, or the only light that falls through where `light`.
struct Stripe {
  cv::Point2d from, to;  ///< mm
  double half_width_mm = 10, soft_mm = 1;
  double depth = 0.6;  ///< share of the light that it takes
  bool light = false;
};

/// A straight thing lying on the trays.
struct Thing {
  cv::Point2d from, to;  ///< mm
  double half_width_mm = 5, thick_mm = 10;
  double round = 1;  ///< 1 a rod, near 0 a slat
  Colour colour{0.2f, 0.3f, 0.4f};
  double gloss = 0;
  double grain = 0;  ///< how unlike its colour is along it
};

struct Light {
  Colour sun{0, 0, 0};
  Colour sky{1, 1, 1};
  double sun_height = 0.8;   ///< rad above the horizon
  double sun_angle = 0;      ///< where it stands, rad clockwise from x
  double softness_mm = 0.5;  ///< of shadows' edges
  Shade shade = Shade::none;
  double blotches = 0;  ///< uneven illumination
  std::vector<Stripe> stripes;
};

/// What the camera makes of it.
struct Finish {
  double exposure = 1;  ///< against a well-metered picture
  Colour cast{1, 1, 1};
  double vignette = 0.2;  ///< loss at the corner
  double blur_px = 0.6;   ///< at 1600 px
  double motion_px = 0;
  double motion_angle = 0;
  double noise = 0.01;  ///< at mid-grey, before the tone curve
  double chroma_noise = 0.5;
  double smoothing = 0;  ///< noise reduction, 0..1
  double contrast = 0.3;
  double saturation = 1;
  double sharpening = 0.4;
  int jpeg_quality = 90;
};

struct Clutter {
  int labels = 0, stakes = 0, tools = 0, hoses = 0, coins = 0, cards = 0, pots = 0, litter = 0, leaves = 0;
};

/// The part of the world that is laid out before it is looked at, and how finely.
struct Plan {
  cv::Rect2d world_mm;
  double px_per_mm = 2;
};

struct Scene {
  std::uint64_t seed = 0;
  std::string label;
  Ground ground = Ground::planks;
  std::vector<Tray> trays;
  Crop crop;
  bool coloured = false;   ///< leaves of another colour than green
  bool overgrown = false;  ///< algae or moss over much of the medium
  std::optional<SeedsInView> seeds_in_view;
  int days_after_sowing = 7;
  CameraPose camera;
  Light light;
  Clutter clutter;
  std::vector<Thing> across;
  Finish finish;
  std::optional<Plan> plan{};  ///< what the camera sees, if none is given: then another view draws all anew
};

/// How many of the photos are such.
struct Shares {
  double seeds = 0.15;   ///< taken before the seeds are covered, 0 to 0.87
  double careful = 0.5;  ///< such that a careful person would not take them again, 0 to 1
  double ordinary = 0;   ///< careful ones of common crops as they stand about a week after sowing, 0 to 1
  double several_trays = 0.35;  ///< of more than one tray, 0 to 1
  double several_seeds = 0.3;   ///< of those with seeds in view: with several a cell, 0 to 1
  double coloured = 0;          ///< with leaves of another colour than green, 0 to 1
  double overgrown = 0;         ///< with algae or moss over much of the medium, 0 to 1
  double across = 0;            ///< with something straight lying across a tray, or its shadow, 0 to 1
};

/// A scene from the whole range that growers' photos come from. `longer_side_px`: 0 for what its cells need
/// to be seen.
Scene any_scene(std::uint64_t seed, int longer_side_px = 1600, Shares shares = {});

}  // namespace braird::painter
