//! A form while it is made: for each group its blocks, for each block its answers as they are written.

use std::borrow::Cow;

use perchside::questionnaire::{Group, Question, Questionnaire};
use perchside::tree::Node;

/// The answers of one block, by question, in the order of the questionnaire.
pub(crate) type Block<'h> = Vec<(usize, Node<'h>)>;

/// All groups. A group that is asked once has one block; a repeated group that was not answered has none of them.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Form<'h> {
    /// By group.
    pub(crate) groups: Vec<Option<Vec<Block<'h>>>>,
}

/// Where an answer stands: group, block, place within the block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct At {
    /// The group.
    pub(crate) group: usize,
    /// The block.
    pub(crate) block: usize,
    /// The place within the block.
    pub(crate) place: usize,
}

impl<'h> Form<'h> {
    /// A form in which nothing is answered.
    pub(crate) fn blank(questionnaire: &Questionnaire) -> Self {
        Self {
            groups: vec![None; questionnaire.groups.len()],
        }
    }

    /// A form from a tree. What the questionnaire does not know is left out.
    pub(crate) fn of(questionnaire: &Questionnaire, tree: &Node<'h>) -> Self {
        let groups = questionnaire.groups.iter().map(|group| {
            match (tree.get(&group.id)?, group.repeats.is_some()) {
                (node @ Node::Map(_), false) => Some(vec![block(group, node)]),
                (Node::List(items), true) => {
                    Some(items.iter().map(|item| block(group, item)).collect())
                }
                _ => None,
            }
        });
        Self {
            groups: groups.collect(),
        }
    }

    /// The form as a tree. Groups asked once in which nothing was answered are left out.
    pub(crate) fn tree<'q>(&self, questionnaire: &'q Questionnaire) -> Node<'q>
    where
        'h: 'q,
    {
        let groups = questionnaire.groups.iter().zip(&self.groups);
        Node::Map(
            groups
                .filter_map(|(group, blocks)| {
                    let blocks = blocks.as_ref()?;
                    let id = Cow::Borrowed(group.id.as_str());
                    if group.repeats.is_some() {
                        let items = blocks.iter().map(|block| map(group, block)).collect();
                        return Some((id, Node::List(items)));
                    }
                    let block = blocks.first().filter(|block| !block.is_empty())?;
                    Some((id, map(group, block)))
                })
                .collect(),
        )
    }

    /// The blocks of a group; none where nothing was answered.
    pub(crate) fn blocks(&self, group: usize) -> &[Block<'h>] {
        self.groups
            .get(group)
            .and_then(Option::as_deref)
            .unwrap_or_default()
    }

    /// Every answer's place.
    pub(crate) fn places(&self) -> Vec<At> {
        let mut places = Vec::new();
        for group in 0..self.groups.len() {
            for (block, answers) in self.blocks(group).iter().enumerate() {
                places.extend((0..answers.len()).map(|place| At {
                    group,
                    block,
                    place,
                }));
            }
        }
        places
    }

    /// The answer at a place, with its question.
    pub(crate) fn at<'a, 'q>(
        &'a self,
        questionnaire: &'q Questionnaire,
        at: At,
    ) -> Option<(&'q Question, &'a Node<'h>)> {
        let (question, node) = self.blocks(at.group).get(at.block)?.get(at.place)?;
        Some((
            questionnaire
                .groups
                .get(at.group)?
                .questions
                .get(*question)?,
            node,
        ))
    }

    /// Every answer with its group and question, to be changed.
    pub(crate) fn each_mut(&mut self, mut change: impl FnMut(usize, usize, &mut Node<'h>)) {
        for (group, blocks) in self.groups.iter_mut().enumerate() {
            for (question, node) in blocks.iter_mut().flatten().flatten() {
                change(group, *question, node);
            }
        }
    }

    /// Keeps the answers that `keep` says yes to, and drops blocks of lists that end up empty. An empty list stays one: it is an answer.
    pub(crate) fn retain(&mut self, mut keep: impl FnMut(usize, usize, &Node<'h>) -> bool) {
        for (group, blocks) in self.groups.iter_mut().enumerate() {
            let Some(list) = blocks else { continue };
            let before = list.len();
            for block in list.iter_mut() {
                block.retain(|(question, node)| keep(group, *question, node));
            }
            list.retain(|block| !block.is_empty());
            if before > 0 && list.is_empty() {
                *blocks = None;
            }
        }
    }

    /// Takes one answer away.
    pub(crate) fn remove(&mut self, at: At) {
        let Some(Some(list)) = self.groups.get_mut(at.group) else {
            return;
        };
        let Some(block) = list.get_mut(at.block) else {
            return;
        };
        if at.place < block.len() {
            block.remove(at.place);
        }
        if block.is_empty() {
            list.remove(at.block);
            if list.is_empty() {
                self.groups[at.group] = None;
            }
        }
    }

    /// The answer to a question that is asked once.
    pub(crate) fn once(&self, (group, question): (usize, usize)) -> Option<&Node<'h>> {
        let block = self.blocks(group).first()?;
        block
            .iter()
            .find(|(at, _)| *at == question)
            .map(|(_, node)| node)
    }

    /// Sets or takes away the answer to a question that is asked once.
    pub(crate) fn set_once(&mut self, (group, question): (usize, usize), node: Option<Node<'h>>) {
        let Some(blocks) = self.groups.get_mut(group) else {
            return;
        };
        let mut block = blocks
            .take()
            .and_then(|mut list| list.pop())
            .unwrap_or_default();
        set(&mut block, question, node);
        *blocks = (!block.is_empty()).then(|| vec![block]);
    }
}

/// Sets or takes away an answer of a block, in its place among the others.
pub(crate) fn set<'h>(block: &mut Block<'h>, question: usize, node: Option<Node<'h>>) {
    let at = block.partition_point(|(other, _)| *other < question);
    if block.get(at).is_some_and(|(other, _)| *other == question) {
        block.remove(at);
    }
    if let Some(node) = node {
        block.insert(at, (question, node));
    }
}

fn block<'h>(group: &Group, node: &Node<'h>) -> Block<'h> {
    let answer = |(at, question): (usize, &Question)| {
        let node = node
            .get(&question.id)
            .filter(|node| **node != Node::Blank)?;
        Some((at, node.clone()))
    };
    group
        .questions
        .iter()
        .enumerate()
        .filter_map(answer)
        .collect()
}

fn map<'q, 'h: 'q>(group: &'q Group, block: &Block<'h>) -> Node<'q> {
    let answers = block.iter().filter_map(|(question, node)| {
        let question = group.questions.get(*question)?;
        Some((Cow::Borrowed(question.id.as_str()), node.clone()))
    });
    Node::Map(answers.collect())
}
