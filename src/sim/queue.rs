//! What waits at a stop, oldest first.

/// Work that came to a stop at one moment.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Layer {
    pub(super) amount: f64,
    /// When it came; below 0 if before the start.
    pub(super) came: f64,
    /// When it came into the network.
    pub(super) entered: f64,
    /// The link of the chain that brought it.
    pub(super) link: u32,
}

/// So many taken layers are kept before the others move up.
const TAKEN: usize = 64;

/// Layers in the order they came. Those at the front of the list have been taken; the others move up
/// when these are the greater part, so that a layer costs the same however many wait.
#[derive(Debug, Default)]
pub(super) struct Queue {
    layers: Vec<Layer>,
    first: usize,
}

impl Queue {
    pub(super) fn clear(&mut self) {
        self.layers.clear();
        self.first = 0;
    }

    #[inline(always)]
    pub(super) fn is_empty(&self) -> bool {
        self.first == self.layers.len()
    }

    #[inline(always)]
    pub(super) fn front(&self) -> Option<&Layer> {
        self.layers.get(self.first)
    }

    #[inline(always)]
    pub(super) fn front_mut(&mut self) -> Option<&mut Layer> {
        self.layers.get_mut(self.first)
    }

    /// Takes the oldest away.
    #[inline(always)]
    pub(super) fn pop_front(&mut self) {
        self.first += 1;
        if self.first == self.layers.len() {
            self.clear();
        } else if self.first >= TAKEN {
            self.move_up();
        }
    }

    /// The youngest.
    pub(super) fn back_mut(&mut self) -> Option<&mut Layer> {
        self.layers[self.first..].last_mut()
    }

    /// Takes the youngest away.
    pub(super) fn pop_back(&mut self) {
        if !self.is_empty() {
            self.layers.pop();
        }
        if self.is_empty() {
            self.clear();
        }
    }

    #[inline(never)]
    fn move_up(&mut self) {
        if self.first * 2 >= self.layers.len() {
            self.layers.drain(..self.first);
            self.first = 0;
        }
    }

    /// Adds the newest; field by field, as [`super::Simulator`] does it for links.
    #[inline(always)]
    pub(super) fn push_back(&mut self, amount: f64, came: f64, entered: f64, link: u32) {
        let place = self.layers.len();
        self.layers.push(Layer::default());
        let layer = &mut self.layers[place];
        layer.amount = amount;
        layer.came = came;
        layer.entered = entered;
        layer.link = link;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn layers_go_in_the_order_they_came() {
        let mut queue = Queue::default();
        let (mut came, mut gone) = (0, 0);
        for round in 0..400 {
            for _ in 0..(round % 7) {
                queue.push_back(1.0, f64::from(came), 0.0, 0);
                came += 1;
            }
            for _ in 0..(round % 5) {
                let front = queue.front().map(|layer| layer.came);
                assert_eq!(front, (gone < came).then_some(f64::from(gone)));
                if front.is_some() {
                    queue.pop_front();
                    gone += 1;
                }
            }
            assert_eq!(queue.is_empty(), gone == came);
        }
        assert!(gone > 500);
    }
}
