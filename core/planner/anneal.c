/* The hot loop of anneal.py in C: the same proposals, judged in the same order, with the same
 * answers, so that either may stand for the other (tests/unit/core/test_native.py holds them to
 * it). Read anneal.py, blocks.py, fill.py and structure.py first: what is done is explained there,
 * and here only what differs. Shared with native.py: the order of the fields of Ground and Run.
 *
 * Points and seconds are whole numbers; temperatures and luck are doubles, never contracted. The
 * random numbers are those of Python's random.random(): the Mersenne twister (Matsumoto &
 * Nishimura, ACM Trans Model Comput Simul 1998;8:3-30) in its 53-bit form, from the state that
 * Python hands over.
 */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define NEVER 255
#define COUNTED 99
#define MISSING 150
#define NEAREST 48
#define PLACES 4096 /* of gaps, at first */
#define TRIED 6
#define CHUNK 32
#define LOGS 8192
#define FRACTION 1024
#define LOPSIDED 60
#define STEP_COST 4
#define UNMET 2
#define UNMET_AT_ALL 15
#define BLUNT 60
#define ABSENT 400
#define REACH 8
#define TURN 0.4
#define SWAP 0.7
#define STAGES 16 /* at most; native.py checks */
#define WINDOWS 16

typedef int32_t i32;
typedef int64_t i64;
typedef uint64_t u64;

typedef struct {
    i32 size, stages, windows, quotas, balances, words, families, all_series, items, required;
    i32 longest_run, track_changes, summit, broken;
    i64 price;
    const i32 *cost, *time;                       /* [size + 2][size + 2], from a row to a column */
    const i32 *back;                              /* cost from a column to a row */
    const i32 *value, *item, *stage, *usual;      /* of each node; stage of start and end as well */
    const i32 *family, *series, *run, *track, *peak, *want;
    const double *rank;                           /* the order in which nodes are stretched */
    const u64 *gives, *needs;                     /* [size][words] */
    const i32 *times, *times_at;                  /* of node k: times[times_at[k]..times_at[k + 1]] */
    const u64 *covers;                            /* the quotas of a node, as bits */
    const i32 *twins, *twins_at;
    const i32 *first, *beyond;                    /* nodes of each stage */
    const i32 *gain;                              /* [quotas][COUNTED] */
    const i32 *least;
    const i32 *balance;                           /* heavy, light, ratio of each */
    const i32 *window;                            /* first, last, low, high, longest step of each */
    const double *logs;
} Ground;

typedef struct {
    i32 a, b, count, node[NEAREST], added[NEAREST];
} Gap;

typedef struct {
    const Ground *g;
    Gap **gaps;                                   /* made when asked for: a hash table, */
    i32 places, taken;                            /* its size, a power of two, and what is in it */
    i32 *seq, *whole, *part, *best, *order, *at, *counts, *known, *left;
    u64 *given, tips;                             /* tips: the quotas of balances */
    unsigned char *used;
    i32 stamp;
    /* Of each place of the sequence, NEW until asked for: points of the arc to it and of the arc
     * past it, and what may stand before it or in its stead. */
    i32 *link, *past;
    const Gap **before, **instead;
} Field;

#define NEW INT32_MIN

typedef struct {
    uint32_t *mt;                                 /* 624 words and the place in them */
    i32 proposals, offset, stop;
    double hot, cooling;
    double replace, exchange, insert, remove, relocate, toggle;
    i32 length;                                   /* of `seq`, start and end included */
    const i32 *seq;
    i32 best_length, best_whole;                  /* out, with `best` and `objective` */
    i32 *best;
    i64 objective;
} Run;

typedef struct {
    i64 worth, penalty, flaws;
    i32 whole;                                    /* it is a plan */
} State;

/* ---- random numbers ---- */

static void refill(uint32_t *mt)
{
    for (int k = 0; k < 624; k++) {
        uint32_t y = (mt[k] & 0x80000000u) | (mt[(k + 1) % 624] & 0x7fffffffu);
        mt[k] = mt[(k + 397) % 624] ^ (y >> 1) ^ (y & 1 ? 0x9908b0dfu : 0);
    }
    mt[624] = 0;
}

static uint32_t word(uint32_t *mt)
{
    if (mt[624] >= 624) refill(mt);
    uint32_t y = mt[mt[624]++];
    y ^= y >> 11;
    y ^= y << 7 & 0x9d2c5680u;
    y ^= y << 15 & 0xefc60000u;
    return y ^ y >> 18;
}

static double draw(uint32_t *mt)
{
    uint32_t a = word(mt) >> 5, b = word(mt) >> 6;
    return (a * 67108864.0 + b) * (1.0 / 9007199254740992.0);
}

/* ---- what may stand between two nodes ---- */

static i32 arc(const Ground *g, i32 a, i32 b) { return g->cost[(i64)a * (g->size + 2) + b]; }
static i32 lag(const Ground *g, i32 a, i32 b) { return g->time[(i64)a * (g->size + 2) + b]; }
static i32 usually(const Ground *g, i32 k) { return g->times[g->times_at[k] + g->usual[k]]; }

static i32 link(const Field *f, const i32 *seq, i32 n)
{
    if (f->link[n] == NEW) f->link[n] = arc(f->g, seq[n - 1], seq[n]);
    return f->link[n];
}

static i32 past(const Field *f, const i32 *seq, i32 n)
{
    if (f->past[n] == NEW) f->past[n] = arc(f->g, seq[n - 1], seq[n + 1]);
    return f->past[n];
}

static void forget(Field *f, i32 length)
{
    for (i32 n = 0; n < length; n++) {
        f->link[n] = f->past[n] = NEW;
        f->before[n] = f->instead[n] = NULL;
    }
}

static Gap **place_of(const Field *f, i32 a, i32 b)
{
    uint32_t at = ((uint32_t)a * 0x9e3779b1u ^ (uint32_t)b * 0x85ebca6bu) >> 7;
    Gap **place;
    do place = f->gaps + (at++ & (uint32_t)(f->places - 1));
    while (*place && ((*place)->a != a || (*place)->b != b));
    return place;
}

/* Twice as many places; 0 when there is no memory for them. */
static int widen(Field *f)
{
    Gap **old = f->gaps;
    i32 places = f->places;
    f->gaps = calloc(2 * (size_t)places, sizeof *f->gaps);
    if (!f->gaps) {
        f->gaps = old;
        return 0;
    }
    f->places = 2 * places;
    for (i32 x = 0; x < places; x++)
        if (old[x]) *place_of(f, old[x]->a, old[x]->b) = old[x];
    free(old);
    return 1;
}

static const Gap *between(Field *f, i32 a, i32 b)
{
    const Ground *g = f->g;
    Gap **place = place_of(f, a, b);
    if (*place) return *place;
    i64 keys[NEAREST];
    i32 nodes[NEAREST], count = 0;
    i32 low = g->stage[a], high = g->stage[b];
    if (low > high) { i32 x = low; low = high; high = x; }
    const i32 *from = g->cost + (i64)a * (g->size + 2), *to = g->back + (i64)b * (g->size + 2);
    for (i32 k = g->first[low]; k < g->beyond[high]; k++) {
        i64 key = (i64)FRACTION * (from[k] + to[k] - g->value[k] - (g->want[k] >= 0 ? ABSENT : 0));
        if (g->price) key += g->price * ((i64)lag(g, a, k) + lag(g, k, b) + usually(g, k));
        if (count == NEAREST && key >= keys[NEAREST - 1]) continue;
        i32 x = count < NEAREST ? count++ : NEAREST - 1;
        for (; x > 0 && keys[x - 1] > key; x--) {
            keys[x] = keys[x - 1];
            nodes[x] = nodes[x - 1];
        }
        keys[x] = key;
        nodes[x] = k;
    }
    Gap *gap = malloc(sizeof *gap);
    if (!gap) return NULL;
    gap->a = a, gap->b = b, gap->count = 0;
    for (i32 x = 0; x < count; x++) {
        i32 k = nodes[x], added = g->value[k] - from[k] - to[k];
        if (added > -NEVER - arc(g, a, b)) {
            gap->node[gap->count] = k;
            gap->added[gap->count++] = added;
        }
    }
    if (2 * f->taken >= f->places) {
        if (!widen(f)) {
            free(gap);
            return NULL;
        }
        place = place_of(f, a, b);
    }
    f->taken++;
    return *place = gap;
}

/* ---- quotas ---- */

static i64 unbalanced(const Ground *g, const i32 *counts)
{
    i64 points = 0;
    for (i32 n = 0; n < g->balances; n++) {
        const i32 *b = g->balance + 3 * n;
        i32 over = counts[b[0]] - b[2] * counts[b[1]];
        if (over > 0) points += LOPSIDED * over;
    }
    return points;
}

static void count(i32 *counts, u64 mask, i32 by)
{
    for (; mask; mask &= mask - 1) counts[__builtin_ctzll(mask)] += by;
}

static i64 quotas(const Field *f, i32 *counts, u64 come, u64 gone)
{
    const Ground *g = f->g;
    i64 points = 0;
    for (u64 left = come; left; left &= left - 1) {
        i32 q = __builtin_ctzll(left), at = counts[q];
        points += g->gain[q * COUNTED + (at < COUNTED ? at : COUNTED - 1)];
    }
    for (u64 left = gone; left; left &= left - 1) {
        i32 q = __builtin_ctzll(left), at = counts[q] - 1;
        points -= g->gain[q * COUNTED + (at < COUNTED ? at : COUNTED - 1)];
    }
    if (!((come | gone) & f->tips)) return points;
    points += unbalanced(g, counts);
    count(counts, come, 1);
    count(counts, gone, -1);
    points -= unbalanced(g, counts);
    count(counts, come, -1);
    count(counts, gone, 1);
    return points;
}

/* ---- the rules of a whole sequence ---- */

static i64 broken(Field *f, const i32 *seq, i32 length)
{
    const Ground *g = f->g;
    i64 points = 0;
    i32 stamp = ++f->stamp, there = 0, run = 0, tracks = 0, highest = 0, summit = 0;
    i32 last_series = -1, last_run = -1, last_track = -1;
    i32 *family_series = f->known, *family_stamp = f->known + g->families;
    memset(f->given, 0, sizeof(u64) * (size_t)g->words);
    for (i32 n = 0; n < length; n++) {
        i32 k = seq[n], family = g->family[k], series = g->series[k];
        if (family_stamp[family] != stamp) {
            family_stamp[family] = stamp;
            family_series[family] = series;
        } else if (series < 0 || family_series[family] != series) {
            points += g->broken;
        }
        if (series != last_series) {
            if (last_series >= 0) f->left[last_series] = stamp;
            last_series = series;
        }
        if (series >= 0 && f->left[series] == stamp) points += g->broken;
        const u64 *needs = g->needs + (i64)k * g->words, *gives = g->gives + (i64)k * g->words;
        int asks = 0, met = 0;
        for (i32 x = 0; x < g->words; x++) {
            asks |= needs[x] != 0;
            met |= (needs[x] & f->given[x]) != 0;
        }
        if (asks && !met) points += g->broken;
        for (i32 x = 0; x < g->words; x++) f->given[x] |= gives[x];
        there += g->want[k] >= 0;
        if (g->run[k] == last_run) {
            if (++run >= g->longest_run) points += g->broken;
        } else {
            run = 0;
            last_run = g->run[k];
        }
        if (g->track[k] != last_track) {
            tracks++;
            last_track = g->track[k];
        }
        if (g->peak[k] > highest) highest = g->peak[k];
        if (g->stage[k] <= g->summit) summit = g->peak[k];
    }
    if (tracks - 1 > g->track_changes) points += g->broken * (i64)(tracks - 1 - g->track_changes);
    return points + BLUNT * (i64)(highest - summit) + ABSENT * (i64)(g->required - there);
}

static int impossible(const Ground *g, const i32 *seq, i32 length, const i32 *counts)
{
    for (i32 n = 0; n + 1 < length; n++)
        if (arc(g, seq[n], seq[n + 1]) >= NEVER) return 1;
    for (i32 q = 0; q < g->quotas; q++)
        if (counts[q] < g->least[q]) return 1;
    return unbalanced(g, counts) > 0;
}

/* ---- time ---- */

static i32 left_of(const i32 *from, i32 length, i64 what)
{
    i32 low = 0, high = length;
    while (low < high) {
        i32 middle = (low + high) / 2;
        if (from[middle] < what) low = middle + 1; else high = middle;
    }
    return low;
}

static i64 fill(Field *f, const i32 *seq, i32 length, i64 *totals, int *unmet)
{
    const Ground *g = f->g;
    i64 changed = 0;
    int met = 1, sorted = 0;
    i32 *order = f->order, *at = f->at;
    for (i32 number = 0; number < g->windows; number++) {
        const i32 *w = g->window + 5 * number;
        i64 total = totals[number];
        if (w[2] <= total && total <= w[3]) continue;
        if (!sorted) {
            for (i32 n = 0; n < length; n++) {
                i32 x = n, k = seq[n];
                for (; x > 0 && g->rank[order[x - 1]] > g->rank[k]; x--) order[x] = order[x - 1];
                order[x] = k;
                at[k] = g->usual[k];
            }
            sorted = 1;
        }
        int grow = total < w[2], done = 0;
        i64 missing = grow ? w[2] - total : total - w[3], slack = w[3] - w[2], give[WINDOWS];
        for (i32 n = 0; n < number; n++) {
            const i32 *inner = g->window + 5 * n;
            give[n] = grow ? inner[3] - totals[n] : totals[n] - inner[2];
        }
        for (i32 n = 0; n < length; n++) {
            i32 k = order[n], stage = g->stage[k];
            if (stage < w[0] || stage > w[1]) continue;
            i64 most = missing + slack;
            for (i32 x = 0; x < number; x++) {
                const i32 *inner = g->window + 5 * x;
                if (inner[0] <= stage && stage <= inner[1] && give[x] < most) most = give[x];
            }
            if (most <= 0) continue;
            const i32 *reach = g->times + g->times_at[k];
            i32 steps = g->times_at[k + 1] - g->times_at[k], now = at[k], to;
            i64 here = reach[now];
            if (grow) {
                to = left_of(reach, steps, here + missing);
                if (to == steps || reach[to] - here > most) to = left_of(reach, steps, here + most + 1) - 1;
                if (to <= now) continue;
            } else {
                to = left_of(reach, steps, here - missing + 1) - 1;
                if (to < 0 || here - reach[to] > most) to = left_of(reach, steps, here - most);
                if (to >= now) continue;
            }
            i64 moved = reach[to] - here;
            missing -= grow ? moved : -moved;
            i32 usual = g->usual[k];
            changed += abs(to - usual) - abs(now - usual);
            at[k] = to;
            for (i32 x = 0; x < g->windows; x++) {
                const i32 *each = g->window + 5 * x;
                if (each[0] <= stage && stage <= each[1]) totals[x] += moved;
            }
            if (missing <= 0) { done = 1; break; }
            for (i32 x = 0; x < number; x++) {
                const i32 *inner = g->window + 5 * x;
                if (inner[0] <= stage && stage <= inner[1]) give[x] -= grow ? moved : -moved;
            }
        }
        if (!done) met = 0;
    }
    i64 points = 0;
    if (!met)
        for (i32 n = 0; n < g->windows; n++) {
            const i32 *w = g->window + 5 * n;
            if (totals[n] < w[2]) points += UNMET_AT_ALL + UNMET * (w[2] - totals[n]);
            else if (totals[n] > w[3]) points += UNMET_AT_ALL + UNMET * (totals[n] - w[3]);
        }
    *unmet = points > 0;
    return changed * STEP_COST + points;
}

static void sum_up(const Ground *g, const i64 *stage_s, i64 *totals)
{
    for (i32 n = 0; n < g->windows; n++) {
        const i32 *w = g->window + 5 * n;
        i64 total = 0;
        for (i32 stage = w[0]; stage <= w[1]; stage++) total += stage_s[stage];
        totals[n] = total;
    }
}

/* ---- several nodes at once ---- */

static i32 twin_at(const Ground *g, i32 k, i32 stage, uint32_t *mt)
{
    i32 count = 0;
    for (i32 x = g->twins_at[k]; x < g->twins_at[k + 1]; x++) count += g->stage[g->twins[x]] == stage;
    i32 nth = (i32)(draw(mt) * count);
    for (i32 x = g->twins_at[k]; x < g->twins_at[k + 1]; x++)
        if (g->stage[g->twins[x]] == stage && nth-- == 0) return g->twins[x];
    return -1;
}

static int has_twin_at(const Ground *g, i32 k, i32 stage)
{
    for (i32 x = g->twins_at[k]; x < g->twins_at[k + 1]; x++)
        if (g->stage[g->twins[x]] == stage) return 1;
    return 0;
}

/* The part that shall stand from *low on in place of what is there before *high; its length. */
static i32 propose(Field *f, const i32 *seq, i32 size, uint32_t *mt, i32 *low, i32 *high)
{
    const Ground *g = f->g;
    i32 *part = f->part;
    if (size < 2) return 0;
    double kind = draw(mt);
    i32 i = 1 + (i32)(draw(mt) * size);
    if (kind < TURN) {
        i32 end = i + 2 + (i32)(draw(mt) * REACH);
        if (end > size + 1) return 0;
        for (i32 n = i; n < end; n++) part[n - i] = seq[end - 1 - (n - i)];
        *low = i, *high = end;
        return end - i;
    }
    if (kind < SWAP) {
        i32 j = 1 + (i32)(draw(mt) * size);
        if (i == j) return 0;
        if (i > j) { i32 x = i; i = j; j = x; }
        i32 one = seq[i], other = seq[j], here = g->stage[one], there = g->stage[other];
        if (here != there) {
            if (!has_twin_at(g, one, there) || !has_twin_at(g, other, here)) return 0;
            one = twin_at(g, one, there, mt);
            other = twin_at(g, other, here, mt);
            u64 a = g->covers[seq[i]], b = g->covers[seq[j]], c = g->covers[one], d = g->covers[other];
            if ((a ^ b) != (c ^ d) || (a & b) != (c & d)) return 0;
        }
        memcpy(part, seq + i, sizeof(i32) * (size_t)(j - i + 1));
        part[0] = other, part[j - i] = one;
        *low = i, *high = j + 1;
        return j - i + 1;
    }
    i32 end = i + 2 + (i32)(draw(mt) * 2);
    i32 j = i + (i32)((draw(mt) - 0.5) * 2 * REACH);
    if (end > size + 1 || j < 1 || j > size + 1 || (i <= j && j < end)) return 0;
    int turned = draw(mt) < 0.5;
    i32 length = end - i, from = j < i ? j : i, before = j < i ? 0 : j - end;
    for (i32 n = 0; n < length; n++) part[before + n] = seq[turned ? end - 1 - n : i + n];
    if (j < i) memcpy(part + length, seq + j, sizeof(i32) * (size_t)(i - j));
    else memcpy(part, seq + end, sizeof(i32) * (size_t)(j - end));
    *low = from, *high = j < i ? end : j;
    return *high - *low;
}

static i64 difference(const Ground *g, const i32 *seq, i32 low, i32 high, const i32 *part, i64 *stage_s)
{
    i64 points = 0;
    for (int side = 0; side < 2; side++) {
        i32 a = seq[low - 1], sign = side ? 1 : -1;
        for (i32 n = low; n <= high; n++) {
            i32 b = n == high ? seq[high] : side ? part[n - low] : seq[n];
            points -= sign * (i64)arc(g, a, b);
            stage_s[g->stage[b]] += sign * (i64)lag(g, a, b);
            if (n < high) {
                points += sign * (i64)g->value[b];
                stage_s[g->stage[b]] += sign * (i64)usually(g, b);
            }
            a = b;
        }
    }
    return points;
}

/* ---- the loop ---- */

Field *field_open(const Ground *g)
{
    Field *f = calloc(1, sizeof *f);
    if (!f) return NULL;
    size_t n = (size_t)g->size + 3;
    f->g = g;
    f->places = PLACES;
    f->gaps = calloc(PLACES, sizeof *f->gaps);
    f->seq = calloc(n, sizeof(i32)), f->whole = calloc(n, sizeof(i32)), f->part = calloc(n, sizeof(i32));
    f->best = calloc(n, sizeof(i32)), f->order = calloc(n, sizeof(i32)), f->at = calloc(n, sizeof(i32));
    f->counts = calloc((size_t)g->quotas + 1, sizeof(i32));
    f->known = calloc(2 * (size_t)g->families + 2, sizeof(i32));
    f->left = calloc((size_t)g->all_series + 1, sizeof(i32));
    f->given = calloc((size_t)g->words + 1, sizeof(u64));
    f->used = calloc((size_t)g->items + 1, 1);
    f->link = calloc(n, sizeof(i32)), f->past = calloc(n, sizeof(i32));
    f->before = calloc(n, sizeof *f->before), f->instead = calloc(n, sizeof *f->instead);
    for (i32 b = 0; b < g->balances; b++)
        f->tips |= 1ull << g->balance[3 * b] | 1ull << g->balance[3 * b + 1];
    return f;
}

void field_close(Field *f)
{
    for (i32 x = 0; x < f->places; x++) free(f->gaps[x]);
    free(f->gaps), free(f->seq), free(f->whole), free(f->part), free(f->best), free(f->order), free(f->at);
    free(f->counts), free(f->known), free(f->left), free(f->given), free(f->used);
    free(f->link), free(f->past), free(f->before), free(f->instead), free(f);
}

/* What state.py says of a sequence; its seconds by stage and its counts as well. */
static State judge(Field *f, const i32 *seq, i32 length, i64 *stage_s)
{
    const Ground *g = f->g;
    State s = {0};
    i64 totals[WINDOWS];
    int unmet;
    memset(f->counts, 0, sizeof(i32) * (size_t)g->quotas);
    memset(stage_s, 0, sizeof(i64) * STAGES);
    for (i32 n = 1; n < length; n++) {
        i32 a = seq[n - 1], b = seq[n];
        s.worth -= arc(g, a, b);
        stage_s[g->stage[b]] += lag(g, a, b);
        if (n == length - 1) continue;
        s.worth += g->value[b];
        stage_s[g->stage[b]] += usually(g, b);
        count(f->counts, g->covers[b], 1);
    }
    for (i32 q = 0; q < g->quotas; q++) {
        for (i32 c = 0; c < f->counts[q] && c < COUNTED; c++) s.worth += g->gain[q * COUNTED + c];
        s.worth -= MISSING * (i64)g->least[q];
    }
    s.worth -= unbalanced(g, f->counts);
    sum_up(g, stage_s, totals);
    s.penalty = fill(f, seq + 1, length - 2, totals, &unmet);
    s.flaws = broken(f, seq + 1, length - 2);
    s.penalty += s.flaws;
    s.whole = !unmet && !s.flaws && !impossible(g, seq, length, f->counts);
    return s;
}

i64 field_judge(Field *f, const i32 *seq, i32 length, i32 *whole)
{
    i64 stage_s[STAGES];
    State s = judge(f, seq, length, stage_s);
    *whole = s.whole;
    return s.worth - s.penalty;
}

static void remember(Run *r, const i32 *inner, i32 length, i64 objective, int whole)
{
    memcpy(r->best, inner, sizeof(i32) * (size_t)length);
    r->best_length = length;
    r->objective = objective;
    r->best_whole = whole;
}

void field_anneal(Field *f, Run *r)
{
    const Ground *g = f->g;
    uint32_t *mt = r->mt;
    i32 *seq = f->seq, *whole = f->whole, *counts = f->counts, size = r->length - 2;
    i64 stage_s[STAGES], spent_s[STAGES], totals[WINDOWS];
    State start = judge(f, r->seq, r->length, stage_s);
    i64 worth = start.worth, penalty = start.penalty, flaws = start.flaws;
    memcpy(seq, r->seq, sizeof(i32) * (size_t)r->length);
    memset(f->used, 0, (size_t)g->items);
    for (i32 n = 1; n <= size; n++) f->used[g->item[seq[n]]] = 1;
    remember(r, seq + 1, size, worth - penalty, start.whole);
    forget(f, size + 2);
    double heat = r->hot;
    i32 offset = r->offset;
    for (i32 begin = 0; begin < r->proposals; begin += CHUNK) {
        heat *= r->cooling;
        offset = (offset + CHUNK) % LOGS;
        i32 chunk = r->proposals - begin < CHUNK ? r->proposals - begin : CHUNK;
        for (i32 n = 0; n < chunk; n++) {
            double need = heat * g->logs[offset + n] - (double)penalty;
            double kind = draw(mt);
            i32 i = 0, j = 0, old = -1, new = -1, p = 0, q = 0, a = 0, b = 0;
            i32 low = 0, high = 0, length = 0;
            u64 come = 0, gone = 0;
            i64 delta;
            if (kind >= r->toggle) {
                length = propose(f, seq, size, mt, &low, &high);
                if (!length) continue;
                memcpy(spent_s, stage_s, sizeof stage_s);
                delta = difference(g, seq, low, high, f->part, spent_s);
                if ((double)delta < need) continue;
            } else if (size && (kind < r->exchange || kind >= r->insert)) {
                i = 1 + (i32)(draw(mt) * size);
                old = seq[i], p = seq[i - 1], q = seq[i + 1];
                delta = (i64)link(f, seq, i) + link(f, seq, i + 1) - g->value[old];
                if (kind < r->replace) {
                    j = i, a = p, b = q;
                } else if (kind < r->exchange || (r->remove <= kind && kind < r->relocate)) {
                    j = 1 + (i32)(draw(mt) * (size + 1));
                    if (j == i || j == i + 1) continue;
                    a = seq[j - 1], b = seq[j];
                    delta += (i64)link(f, seq, j) - past(f, seq, i);
                } else if (kind < r->remove) {
                    delta -= past(f, seq, i);
                } else {
                    j = i, a = p, b = q;
                }
            } else if (kind < r->insert) {
                j = 1 + (i32)(draw(mt) * (size + 1));
                a = seq[j - 1], b = seq[j];
                delta = link(f, seq, j);
            } else {
                continue;
            }
            if (kind < r->toggle) {
                if (kind < r->insert) {
                    const Gap **known = i == j ? f->instead + i : f->before + j;
                    const Gap *gap = *known ? *known : (*known = between(f, a, b));
                    double luck = draw(mt);
                    if (!gap) continue;
                    i32 x = (i32)(gap->count * luck * luck), end = x + TRIED;
                    while (x < end && x < gap->count && f->used[g->item[gap->node[x]]]) x++;
                    if (x >= end || x >= gap->count) continue;
                    new = gap->node[x];
                    delta += gap->added[x];
                } else if (kind >= r->remove) {
                    const i32 *twins = g->twins + g->twins_at[old];
                    i32 all = g->twins_at[old + 1] - g->twins_at[old], fit = 0, nth;
                    int moving = kind < r->relocate;
                    i32 from = moving ? g->stage[a] : 0, to = moving ? g->stage[b] : g->stages;
                    for (i32 x = 0; x < all; x++) fit += from <= g->stage[twins[x]] && g->stage[twins[x]] <= to;
                    if (moving ? !fit : all == 1) continue;
                    nth = (i32)(draw(mt) * fit);
                    for (i32 x = 0; x < all; x++)
                        if (from <= g->stage[twins[x]] && g->stage[twins[x]] <= to && nth-- == 0) new = twins[x];
                    delta += (i64)g->value[new] - arc(g, a, new) - arc(g, new, b);
                }
                come = new >= 0 ? g->covers[new] : 0, gone = old >= 0 ? g->covers[old] : 0;
                u64 both = come & gone;
                come ^= both, gone ^= both;
                if (come | gone) delta += quotas(f, counts, come, gone);
                if ((double)delta < need) continue;
                memcpy(spent_s, stage_s, sizeof stage_s);
                if (old >= 0) {
                    spent_s[g->stage[old]] -= (i64)usually(g, old) + lag(g, p, old);
                    spent_s[g->stage[q]] -= (i64)lag(g, old, q) - lag(g, p, q);
                }
                if (new >= 0) {
                    i64 x = i == j ? lag(g, p, q) : lag(g, a, b);
                    spent_s[g->stage[new]] += (i64)usually(g, new) + lag(g, a, new);
                    spent_s[g->stage[b]] += (i64)lag(g, new, b) - x;
                }
            }
            sum_up(g, spent_s, totals);
            i64 alone = 0, together = 0;
            int fits = 1;
            for (i32 x = 0; x < g->windows; x++) {
                const i32 *w = g->window + 5 * x;
                i64 off = totals[x] < w[2] ? w[2] - totals[x] : totals[x] - w[3];
                if (off <= 0) continue;
                fits = 0;
                i64 points = STEP_COST * (1 + (off - 1) / w[4]), most = UNMET_AT_ALL + UNMET * off;
                if (points > most) points = most;
                if (w[0] == w[1]) alone += points;
                else if (points > together) together = points;
            }
            if (!fits && (double)(delta - (alone > together ? alone : together)) < need) continue;
            i32 longer = size + 2;
            if (length) {
                memcpy(whole, seq, sizeof(i32) * (size_t)longer);
                memcpy(whole + low, f->part, sizeof(i32) * (size_t)length);
            } else {
                i32 to = 0;
                for (i32 x = 0; x < longer; x++) {
                    if (new >= 0 && x == j) whole[to++] = new;
                    if (old < 0 || x != i) whole[to++] = seq[x];
                }
                longer = to;
            }
            i64 broke = broken(f, whole + 1, longer - 2), filled = 0;
            if ((double)(delta - broke) < need) continue;
            int unmet = 0;
            if (!fits) {
                filled = fill(f, whole + 1, longer - 2, totals, &unmet);
                if ((double)(delta - broke - filled) < need) continue;
            }
            i32 *x = seq;
            seq = whole, whole = x;
            memcpy(stage_s, spent_s, sizeof stage_s);
            worth += delta;
            penalty = filled + broke;
            flaws = broke;
            if (!length && old != new) {
                if (old >= 0) f->used[g->item[old]] = 0;
                if (new >= 0) f->used[g->item[new]] = 1;
                count(counts, come, 1);
                count(counts, gone, -1);
                size = longer - 2;
            }
            forget(f, size + 2);
            i64 objective = worth - penalty;
            if (objective > r->objective || !r->best_whole) {
                if (!flaws && !unmet && !impossible(g, seq, size + 2, counts)) {
                    remember(r, seq + 1, size, objective, 1);
                    if (r->stop) return;
                } else if (objective > r->objective && !r->best_whole) {
                    remember(r, seq + 1, size, objective, 0);
                }
            }
        }
    }
}
