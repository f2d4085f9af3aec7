.pragma library

// A pen for the drawings: path strings of lines that swell and thin as a nib's do; a stroke can't, it is even.

function point(x, y) {
    return x.toFixed(2) + " " + y.toFixed(2) + " ";
}

// One vein along the quadratic x0 y0, cx cy, x1 y1: `root` broad where it starts, `thin` in its middle, `tip` broad at
// its end.
function vein(x0, y0, cx, cy, x1, y1, root, thin, tip) {
    // the curve cut in its middle, so that the width may turn there
    var ax = (x0 + cx) / 2, ay = (y0 + cy) / 2, bx = (cx + x1) / 2, by = (cy + y1) / 2;
    var mx = (ax + bx) / 2, my = (ay + by) / 2;
    // each place: where, which way, how broad
    var p = [[x0, y0, ax - x0, ay - y0, root],
             [ax, ay, mx - x0, my - y0, (root + thin) / 2],
             [mx, my, bx - ax, by - ay, thin],
             [bx, by, x1 - mx, y1 - my, (thin + tip * 0.4) / 1.4],
             [x1, y1, x1 - bx, y1 - by, tip]];
    var left = [], right = [];
    for (var i = 0; i < 5; ++i) {
        var length = Math.sqrt(p[i][2] * p[i][2] + p[i][3] * p[i][3]) || 1;
        var nx = -p[i][3] / length * p[i][4] / 2, ny = p[i][2] / length * p[i][4] / 2;
        left.push(point(p[i][0] + nx, p[i][1] + ny));
        right.push(point(p[i][0] - nx, p[i][1] - ny));
    }
    return "M " + left[0] + "Q " + left[1] + left[2] + "Q " + left[3] + left[4]
         + "L " + right[4] + "Q " + right[3] + right[2] + "Q " + right[1] + right[0] + "Z ";
}

// Many veins, each [x0, y0, cx, cy, x1, y1], with the same three widths.
function veins(list, root, thin, tip) {
    var path = "";
    for (var i = 0; i < list.length; ++i) {
        var v = list[i];
        path += vein(v[0], v[1], v[2], v[3], v[4], v[5], root, thin, tip);
    }
    return path;
}

// Round dots, each [x, y, r].
function dots(list) {
    var path = "";
    for (var i = 0; i < list.length; ++i) {
        var r = list[i][2], round = "a " + r + " " + r + " 0 1 0 ";
        path += "M " + point(list[i][0] - r, list[i][1]) + round + (2 * r) + " 0 " + round + (-2 * r) + " 0 Z ";
    }
    return path;
}
